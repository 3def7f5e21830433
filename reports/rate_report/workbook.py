"""The report as a workbook: a sheet a table, and one that recounts every headline figure live."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from reports.rate_report.counting import COUNTED, EPISODE, OFF_RISK, PERITONITIS, RULES, Where
from reports.rate_report.part import Field, Report, Table, number, text, whole
from reports.writers.xlsx import Workbook

Cells = dict[str, str]

PARTS = (
    text("part", "number and name of the part"),
    text("title", "what it holds"),
    text("says", "its sentences"),
)
RECOUNT = (
    text("figure", "name"), text("period", "period"), text("measure", "which figure"),
    whole("numerator", "recounted"), whole("denominator", "recounted"),
    number("value", "recounted"), number("lower", "recounted"), number("upper", "recounted"),
    whole("reported_numerator", "as reported"), whole("reported_denominator", "as reported"),
    number("reported_value", "as reported"), number("reported_lower", "as reported"),
    number("reported_upper", "as reported"), text("agrees", "agrees or differs"),
)  # fmt: skip
_REPORTED = ("numerator", "denominator", "value", "lower", "upper")


def workbook_bytes(report: Report) -> bytes:
    """Without lists (for readers outside) there is nothing to recount from, so no such sheet."""
    book = Workbook(f"Rate report {report.head['clinic']} {report.head['period']}")
    book.table("parts", PARTS, _parts(report))
    formulas = _Formulas(report)
    for table in report.tables:
        formula = formulas.of_patient if table.name == "patients" else _none
        book.table(table.name, table.fields, table.rows, formula)
        if table.name == "headline" and report.table("line_list"):
            book.table("recount", RECOUNT, formulas.recounted(), formulas.of_recount)
    return book.bytes()


def _none(row: int, column: str) -> str:
    return ""


def _parts(report: Report) -> list[Cells]:
    return [
        {"part": f"{part.number} {part.name}", "title": part.title, "says": " ".join(part.says)}
        for part in report.parts
    ]


class _Sheet:
    """Where the columns of one table lie in its sheet."""

    def __init__(self, table: Table | None, fields: tuple[Field, ...] = ()) -> None:
        self.name = table.name if table else "recount"
        self.last = max(len(table.rows), 1) + 1 if table else 1
        columns = table.fields if table else fields
        self.letter = {one.name: _letter(place) for place, one in enumerate(columns)}

    def all(self, column: str) -> str:
        letter = self.letter[column]
        return f"{self.name}!${letter}$2:${letter}${self.last}"

    def cell(self, column: str, row: int) -> str:
        return f"{self.name}!${self.letter[column]}${row}"


def _letter(place: int) -> str:
    first, second = divmod(place, 26)
    return (chr(ord("A") + first - 1) if first else "") + chr(ord("A") + second)


class _Formulas:
    """Formulas over ledger, patients and line list; `row` counts from 1 below the head."""

    def __init__(self, report: Report) -> None:
        self.headline = report.table("headline")
        tables = {name: report.table(name) for name in ("ledger", "patients", "line_list")}
        self.patients_rows = tables["patients"].rows if tables["patients"] else []
        self.ledger, self.patients, self.lines = map(_Sheet, tables.values())
        self.reported = _Sheet(self.headline)
        self.own = _Sheet(None, RECOUNT).letter

    def recounted(self) -> list[Cells]:
        """The figures as stored, so that a viewer that runs no formula shows them as well."""
        rows = self.headline.rows if self.headline else []
        return [
            {one.name: row.get(one.name.removeprefix("reported_"), "agrees") for one in RECOUNT}
            for row in rows
        ]

    def of_patient(self, row: int, column: str) -> str:
        at = row + 1
        letters = self.patients.letter
        period, patient = (f"${letters[name]}{at}" for name in ("period", "patient"))
        of_patient = f"{{0}},{period},{{1}},{patient}"
        if column == "days_at_risk":
            keys = of_patient.format(self.ledger.all("period"), self.ledger.all("patient"))
            state = f'{self.ledger.all("state")},"at_risk"'
            return f"=SUMIFS({self.ledger.all('days')},{keys},{state})"
        keys = of_patient.format(self.lines.all("period"), self.lines.all("patient"))
        if column == "counted_episodes":
            return "=" + self._count(PERITONITIS | COUNTED, keys)
        if column == "episodes_at_risk":
            off = (
                self._count(EPISODE | {"reason": f"not_counted_{one}"}, keys) for one in OFF_RISK
            )
            return "=" + "-".join([self._count(EPISODE, keys), *off])
        if column == "own_rate":
            return f"={letters['counted_episodes']}{at}*365.25/{letters['days_at_risk']}{at}"
        return ""

    def _count(self, where: Where, keys: str) -> str:
        said = "".join(f',{self.lines.all(column)},"{value}"' for column, value in where.items())
        return f"COUNTIFS({keys}{said})"

    def of_recount(self, row: int, column: str) -> str:
        at = row + 1
        if column.startswith("reported_"):
            cell = self.reported.cell(column.removeprefix("reported_"), at)
            return f'=IF(ISBLANK({cell}),"",{cell})'
        known: Mapping[str, Callable[[int], str]] = {
            "numerator": self._numerator, "denominator": self._denominator, "value": self._value,
            "lower": self._lower, "upper": self._upper, "agrees": self._agrees,
        }  # fmt: skip
        return known[column](at) if column in known else ""

    def _row(self, at: int) -> Cells:
        return self.headline.rows[at - 2] if self.headline else {}

    def _numerator(self, at: int) -> str:
        rule = RULES[self._row(at)["measure"]]
        keys = f"{self.lines.all('period')},$B{at}"
        if rule.special == "once":
            return self._once(keys, at)
        if rule.special == "free":
            of_period = f"{self.patients.all('period')},$B{at}"
            return f"=COUNTIFS({of_period},{self.patients.all('episodes_at_risk')},0)"
        return "=" + "+".join(self._count(way, keys) for way in rule.ways)

    def _once(self, keys: str, at: int) -> str:
        """Infections of both sites have a row for each: the second is taken off."""
        exit_site, tunnel = (
            self._count({"kind": one} | COUNTED, keys) for one in ("exit_site", "tunnel")
        )
        both = (
            f'SUMPRODUCT(({self.lines.all("period")}=$B{at})*({self.lines.all("kind")}="tunnel")'
            f'*({self.lines.all("counts")}="yes")*COUNTIFS({keys},{self._same("patient")},'
            f'{self._same("episode")},{self.lines.all("kind")},"exit_site",{self.lines.all("counts")},"yes"))'
        )
        return f"={exit_site}+{tunnel}-{both}"

    def _same(self, column: str) -> str:
        return f"{self.lines.all(column)},{self.lines.all(column)}"

    def _denominator(self, at: int) -> str:
        over = RULES[self._row(at)["measure"]].over
        if over == "days":
            ledger = self.ledger
            keys = f'{ledger.all("period")},$B{at},{ledger.all("state")},"at_risk"'
            return f"=SUMIFS({ledger.all('days')},{keys})"
        if over == "patients":
            return f"=COUNTIFS({self.patients.all('period')},$B{at})"
        return "=" + self._count(EPISODE, f"{self.lines.all('period')},$B{at}")

    def _value(self, at: int) -> str:
        row = self._row(at)
        if RULES[row["measure"]].special == "median":
            return self._if_any(at, f"MEDIAN({self._own_rates(row['period'])})")
        factor = "*365.25" if row["denominator_unit"] == "patient_days" else ""
        return self._if_any(at, f"D{at}{factor}/E{at}")

    def _own_rates(self, period: str) -> str:
        """The patients of a period stand together."""
        places = [
            place for place, row in enumerate(self.patients_rows, 2) if row["period"] == period
        ]
        letter = self.patients.letter["own_rate"]
        first, last = (places[0], places[-1]) if places else (2, 2)
        return f"patients!${letter}${first}:${letter}${last}"

    def _if_any(self, at: int, formula: str) -> str:
        return f'=IF(E{at}=0,"",{formula})'

    def _lower(self, at: int) -> str:
        return self._limit(
            at, f"IF(D{at}=0,0,CHIINV(0.975,2*D{at})/2/(E{at}/365.25))",
            f"IF(D{at}=0,0,BETAINV(0.025,D{at},E{at}-D{at}+1))",
        )  # fmt: skip

    def _upper(self, at: int) -> str:
        return self._limit(
            at, f"CHIINV(0.025,2*D{at}+2)/2/(E{at}/365.25)",
            f"IF(D{at}=E{at},1,BETAINV(0.975,D{at}+1,E{at}-D{at}))",
        )  # fmt: skip

    def _limit(self, at: int, of_rate: str, of_share: str) -> str:
        interval = self._row(at)["interval"]
        formulas = {"exact_poisson": of_rate, "exact_binomial": of_share}
        return self._if_any(at, formulas[interval]) if interval else ""

    def _agrees(self, at: int) -> str:
        """Within the precision of a spreadsheet's inverse distributions."""
        pairs = [(self.own[name], self.own[f"reported_{name}"]) for name in _REPORTED]
        same = ",".join(f"ABS(N({one}{at})-N({other}{at}))<0.000001" for one, other in pairs)
        return f'=IF(AND({same}),"agrees","differs")'
