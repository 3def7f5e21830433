"""The shades of time since training follow its bands to the day."""

from datetime import date, timedelta

from surveillance.strip.clock import shades, waits

START = date(2024, 1, 1)


def after(days: int) -> date:
    return START + timedelta(days=days)


def test_shades_begin_on_the_first_day_of_each_band():
    held = shades([START], after(800))
    assert [(shade.step, (shade.first - START).days) for shade in held] == [
        (1, 0), (2, 91), (3, 182), (4, 365), (5, 730),
    ]  # fmt: skip
    assert held[-1].stop == after(800)


def test_a_training_starts_the_clock_again():
    held = shades([after(100), START], after(150))
    assert [(shade.step, shade.first) for shade in held] == [
        (1, START),
        (2, after(91)),
        (1, after(100)),
    ]


def test_stretches_join_without_a_gap():
    held = shades([START, after(400), after(420)], after(900))
    assert all(a.stop == b.first for a, b in zip(held, held[1:], strict=False))


def test_long_wait_is_named_with_its_days():
    assert [wait.days for wait in waits([START, after(449), after(500)], after(600))] == [449]


def test_no_training_has_no_clock():
    assert shades([], START) == [] and waits([], START) == []
