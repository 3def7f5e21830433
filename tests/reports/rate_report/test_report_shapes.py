"""One content in every shape: public tools read it, and the same content gives the same bytes."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest

from reports.rate_report.files import RATE_REPORT_FORMATS, rate_report_file
from reports.rate_report.report import rate_report
from reports.rate_report.tables import HOST
from surveillance.models import Snapshot
from tests.reports.stored import QUARTER

Path_of = Callable[[str], str]


def shape(snapshot: Snapshot, ending: str) -> bytes:
    return rate_report_file(snapshot, QUARTER, ending, HOST).content


@pytest.fixture
def bag(signed: Snapshot, tmp_path: Path) -> Path:
    """The ZIP unpacked."""
    with zipfile.ZipFile(io.BytesIO(shape(signed, "zip"))) as archive:
        archive.extractall(tmp_path)
    (folder,) = [path for path in tmp_path.iterdir() if path.is_dir()]
    return folder


def said_by(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("ending", RATE_REPORT_FORMATS)
def test_twice_the_same_bytes(signed, ending: str) -> None:
    assert shape(signed, ending) == shape(signed, ending)


def test_the_bag_is_valid_to_a_public_tool(bag: Path) -> None:
    done = said_by(sys.executable, "-m", "bagit", "--validate", str(bag))

    assert done.returncode == 0, done.stderr


def test_every_table_is_valid_to_a_public_tool(bag: Path) -> None:
    command = "import sys; from frictionless.__main__ import console; console()"
    package = str(bag / "data" / "datapackage.json")
    done = said_by(sys.executable, "-c", command, "validate", "--json", package)

    found = json.loads(done.stdout)
    assert found["valid"], done.stdout
    assert found["stats"]["tasks"] == len(list((bag / "data" / "tables").glob("*.csv")))


def test_a_table_that_breaks_its_schema_is_not_valid(bag: Path) -> None:
    table = bag / "data" / "tables" / "ledger.csv"
    table.write_text(table.read_text().replace(",31,", ",many,").replace(",90,", ",many,"))
    command = "import sys; from frictionless.__main__ import console; console()"
    package = str(bag / "data" / "datapackage.json")
    done = said_by(sys.executable, "-c", command, "validate", "--json", package)

    assert not json.loads(done.stdout)["valid"]


def test_csv_and_json_hold_the_same_rows(bag: Path, signed) -> None:
    document = json.loads((bag / "data" / "report.json").read_text())
    tables = {name: rows for part in document["parts"] for name, rows in part["tables"].items()}
    for table in rate_report(signed, QUARTER, HOST).tables:
        text = (bag / "data" / "tables" / f"{table.name}.csv").read_bytes().decode()
        lines = list(csv.reader(io.StringIO(text, newline="")))
        assert text.count("\r\n") >= len(lines)  # RFC 4180
        assert len(lines) - 1 == len(tables[table.name]), table.name


def test_the_pdf_is_tagged_in_english_with_its_fonts_inside(signed) -> None:
    pdf = pypdf.PdfReader(io.BytesIO(shape(signed, "pdf")))
    root = pdf.trailer["/Root"]
    metadata = root["/Metadata"].get_object().get_data().decode()

    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en"
    assert "<pdfuaid:part>1</pdfuaid:part>" in metadata
    assert "<pdfaid:part>3</pdfaid:part>" in metadata
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    fonts = [font.get_object() for page in pdf.pages for font in fonts_of(page)]
    assert fonts and all(is_inside(font) for font in fonts)


def fonts_of(page: pypdf.PageObject) -> list:
    return list(page["/Resources"].get("/Font", {}).values())


def is_inside(font: pypdf.generic.DictionaryObject) -> bool:
    inner = font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
    return any(name in inner for name in ("/FontFile", "/FontFile2", "/FontFile3"))


def test_every_picture_of_the_pdf_has_words_for_who_cannot_see_it(signed) -> None:
    pdf = pypdf.PdfReader(io.BytesIO(shape(signed, "pdf")))
    said = alternatives(pdf.trailer["/Root"]["/StructTreeRoot"])
    pictures = [one for part in rate_report(signed, QUARTER, HOST).parts for one in part.pictures]

    assert pictures and {one.summary for one in pictures} <= set(said)


def alternatives(node: object) -> list[str]:
    own = node.get_object() if hasattr(node, "get_object") else node
    if not isinstance(own, pypdf.generic.DictionaryObject):
        return []
    kids = own.get("/K", [])
    below = kids if isinstance(kids, list) else [kids]
    here = [str(own["/Alt"])] if "/Alt" in own else []
    return here + [one for kid in below for one in alternatives(kid)]


def test_pdftotext_finds_every_headline_figure(signed, tmp_path: Path, found_tool: Path_of) -> None:
    path = tmp_path / "report.pdf"
    path.write_bytes(shape(signed, "pdf"))
    text = said_by(found_tool("pdftotext"), "-layout", str(path), "-").stdout
    words = " ".join(text.split())

    assert "Tagged: yes" in " ".join(said_by(found_tool("pdfinfo"), str(path)).stdout.split())
    for row in rate_report(signed, QUARTER, HOST).table("headline").shown:
        line = next(line for line in text.split("\n") if line.split()[:1] == [row["figure"]])
        assert all(cell in line for cell in (row["numerator"], row["denominator"])), line
        assert all(piece in words for piece in row["value"].split()), row


def test_odd_names_pass_through_every_shape(signed, tmp_path: Path, found_tool: Path_of) -> None:
    name = 'Clinic "North", שלום مرحبا\n=1+1 透析'
    signed.clinic.name = name
    signed.clinic.save()
    document = json.loads(shape(signed, "json"))
    with zipfile.ZipFile(io.BytesIO(shape(signed, "zip"))) as archive:
        path = next(one for one in archive.namelist() if one.endswith("tables/cover.csv"))
        rows = list(csv.DictReader(io.StringIO(archive.read(path).decode(), newline="")))
    pdf = tmp_path / "report.pdf"
    pdf.write_bytes(shape(signed, "pdf"))
    text = said_by(found_tool("pdftotext"), str(pdf), "-").stdout

    assert document["clinic_name"] == name
    assert name in rows[0]["shown"]
    assert "שלום" in text and "[U+900F]" in text  # no font of ours holds the last two


def test_no_cell_of_the_bag_is_run_by_a_spreadsheet(bag: Path) -> None:
    for path in (bag / "data" / "tables").glob("*.csv"):
        for line in csv.reader(io.StringIO(path.read_bytes().decode(), newline="")):
            risky = [cell for cell in line if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]
            assert all(is_number(cell) for cell in risky), (path.name, risky)


def is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True
