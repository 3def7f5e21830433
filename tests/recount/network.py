"""Network rows: "sums of the clinics' numerators and denominators with their own limits, for
every measure but the median" (design 3.3)."""

from datetime import date

from tests.recount.measure_rows import Figure, ordered
from tests.recount.periods import period_named
from tests.recount.recount import Table
from tests.recount.seen import Rows


def network_rows(rows: Rows, network: str, measures: Table, rule_set: str, as_of: date) -> Table:
    """The measure rows of a network, `clinic` then holding its name."""
    members = {row["clinic"] for row in rows["clinics"] if row.get("network") == network}
    figures: dict[tuple[object, ...], Figure] = {}
    for row in measures:
        if row["clinic"] not in members or row["measure"] == "median_patient_rate":
            continue
        key = (row["period"], row["measure"], row["split"], row["band"])
        if key not in figures:
            period = period_named(row["period"])
            figures[key] = Figure(period, row["measure"], 0, 0, row["split"], row["band"])
        figures[key].numerator += row["numerator"]
        figures[key].denominator += row["denominator"]
    return ordered([figure.row(network, rule_set, as_of) for figure in figures.values()])
