"""Shapes are well-formed, escaped and free of style."""

from xml.etree import ElementTree

import pytest

from surveillance.drawing import circle, drawing, element, group, number_text, words


@pytest.mark.parametrize(
    "number, expected",
    [(3, "3"), (3.0, "3"), (2.5, "2.5"), (1 / 3, "0.33"), (-0.125, "-0.12"), (100, "100")],
)
def test_coordinates_are_short(number, expected):
    assert number_text(number) == expected


def test_text_is_escaped():
    said = words(1, 2, '<b> & "quoted"', "text-quiet")
    assert ElementTree.fromstring(said).text == '<b> & "quoted"'


def test_attribute_without_a_value_is_not_written():
    assert element("g", class_=None, data_value="0.1") == '<g data-value="0.1"/>'


def test_whole_drawing_reads_as_xml_with_its_label():
    svg = drawing(10, 20, 'A "label" & more', "wide", group(circle(1, 2, 3, "fill-ink"), title="x"))
    tree = ElementTree.fromstring(svg)
    assert tree.get("aria-label") == 'A "label" & more' and tree.get("viewBox") == "0 0 10 20"
