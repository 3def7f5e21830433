"""Results of small records, as plain rows."""

from datetime import date

from surveillance.measures.compute import compute
from surveillance.rules import RULE_SETS
from surveillance.tables import Record
from tests.surveillance.records import AS_OF, catalogue


def rows_of(
    record: Record, table: str, rule_set: str = "rule_2022", as_of: date = AS_OF
) -> list[dict]:
    result = compute(record, catalogue(), RULE_SETS[rule_set], as_of)
    return getattr(result, table).to_dict("records")


def cases_of(record: Record, rule_set: str = "rule_2022", as_of: date = AS_OF) -> dict[str, dict]:
    """Peritonitis rows by episode, others by infection and kind."""
    rows = rows_of(record, "cases", rule_set, as_of)
    return {
        row["episode"] if row["kind"] == "peritonitis" else f"{row['episode']} {row['kind']}": row
        for row in rows
    }
