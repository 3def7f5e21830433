"""Makes one random patient's rows: spells, catheters, trainings, chains of episodes, ends."""

from datetime import date, timedelta
from random import Random

from tests.recount.random_effluent import EffluentMaker, moment_text, palette
from tests.recount.record_files import record_row
from tests.recount.seen import Rows

YES_NO = ("yes", "no", "unknown", "")
# Gaps from therapy end to the next onset: the edges of every class, and the same day.
GAPS = (1, 28, 29, 0, -1, -6, 2, 14, 27, 30, 60, 120, 200, 365, 740)
TREATMENT_DAYS = (14, 0, 5, 7, 21, 28, 29, 40)


def days(number: int) -> timedelta:
    return timedelta(days=number)


def pick_day(rng: Random, first: date, last: date) -> date:
    """A day from first to last; half of them beside the edge of a quarter or on a leap day."""
    one = first + days(rng.randint(0, max(0, (last - first).days)))
    edge = date(one.year, rng.choice((1, 4, 7, 10)), 1) - days(rng.choice((0, 1)))
    leap = date(one.year, 2, 28) + days(1)
    chosen = rng.choice((one, one, edge, leap))
    return chosen if first <= chosen <= last else one


def iso(one: date | None) -> str:
    return one.isoformat() if one else ""


class PatientMaker:
    """Writes the rows of one patient; no fact lies after `last` or after death."""

    def __init__(
        self, rng: Random, rows: Rows, clinic: str, patient: str, zone: str, first: date, last: date
    ) -> None:
        self.rng, self.rows, self.zone = rng, rows, zone
        self.clinic, self.patient = clinic, patient
        self.first, self.last = first, last
        self.died_on: date | None = None
        if rng.random() < 0.3:
            self.died_on = pick_day(rng, first + (last - first) / 3, last)
            self.last = self.died_on
        self.palette = palette(rng)
        self.collected: set[float] = set()
        self.treated: list[tuple[str, date, date]] = []  # episode, onset, about the end

    def make(self, quiet: bool = False) -> None:
        """Every kind of row; a quiet patient has spells, trainings and no infection."""
        self.add(
            "patients",
            birth_date=self.rng.choice(("1950-02-28", "")),
            sex=self.rng.choice(("female", "male", "other", "")),
            died_on=iso(self.died_on),
        )
        self.spells()
        self.trainings()
        if quiet:
            return
        self.peritonitis()
        self.pauses()
        self.catheters()
        self.infections()
        self.admissions()
        self.contaminations()

    def add(self, file: str, **cells: object) -> None:
        row = record_row(file, clinic=self.clinic, patient=self.patient, **cells)
        self.rows[file].append(row)

    def some_day(self) -> date:
        return pick_day(self.rng, self.first, self.last)

    def known(self, one: date) -> str:
        """A later end, or empty where it would lie after the last day."""
        return iso(one) if one <= self.last else ""

    def spells(self) -> None:
        """Overlaps, spells within spells, one-day spells, gaps, and patients without any."""
        start, seen = self.first + days(self.rng.choice((10, 0, 31, 120))), set()
        for _ in range(self.rng.choice((1, 2, 1, 2, 0, 3, 4, 1))):
            if start > self.last or start in seen:
                break
            seen.add(start)
            end = start + days(self.rng.choice((2000, 0, 1, 25, 60, 200, 400, 700)))
            self.spell(start, end)
            start = min(end, start + days(420)) + days(self.rng.choice((1, -20, 0, 6, 29, 31, 90)))

    def spell(self, start: date, end: date) -> None:
        rng, last_day_on = self.rng, self.known(end)
        reasons = ("haemodialysis", "transplant", "haemodialysis", "recovery", "moved", "lost", "")
        self.add(
            "pd_spells",
            started_on=iso(start),
            last_day_on=last_day_on,
            modality=rng.choice(("capd", "apd", "")),
            assistance=rng.choice(("self", "family", "nurse", "")),
            end_reason=rng.choice(reasons) if last_day_on else "",
        )

    def trainings(self) -> None:
        """Several on one day, by several trainers, some begun before they are completed."""
        rng, seen = self.rng, set()
        completed = min(self.first + days(rng.choice((10, 0, 40, 200))), self.last)
        for _ in range(rng.choice((2, 0, 1, 1, 3, 4, 6))):
            kind = rng.choice(("initial", "scheduled", "triggered"))
            trainer = rng.choice(("T-02", "T-01", "Zoë", ""))
            if (completed, kind, trainer) in seen:
                continue
            seen.add((completed, kind, trainer))
            started = rng.choice((None, completed, completed - days(3), completed - days(30)))
            self.add(
                "trainings",
                started_on=iso(started),
                completed_on=iso(completed),
                kind=kind,
                trainer=trainer,
                learner=rng.choice(("patient", "helper", "")),
                hours=rng.choice(("", "2", "1.5")),
                competent=rng.choice(YES_NO),
            )
            completed = rng.choice((self.some_day(), self.some_day(), completed))

    def peritonitis(self) -> None:
        """A chain of episodes; each begins a telling number of days after the one before."""
        rng, third = self.rng, (self.last - self.first) / 3
        early = pick_day(rng, self.first + days(10), self.first + third)
        late = max(self.last - days(150), self.first)
        onset = rng.choice((early, early, early, late, self.some_day(), self.first - days(15)))
        names = rng.sample(range(1, 13), rng.choice((3, 0, 2, 5, 7, 9)))
        for name in names:
            if onset > self.last:
                break
            end = onset + days(rng.choice(TREATMENT_DAYS))
            if rng.random() < 0.1:
                self.palette = palette(rng)
            EffluentMaker(self, f"E{name}", onset, end).make()
            self.treated.append((f"E{name}", onset, end))
            onset = rng.choice((end + days(rng.choice(GAPS)),) * 7 + (onset,))
            onset = max(onset, self.first - days(20))
        if self.died_on:
            self.last_episode(self.died_on)

    def last_episode(self, died_on: date) -> None:
        """An onset about as long before death as the windows of design 3.1 reach."""
        onset = died_on - days(self.rng.choice((30, 31, 28, 29, 0)))
        end = onset + days(self.rng.choice((14, 30, 31)))
        EffluentMaker(self, "E13", onset, end).make()
        self.treated.append(("E13", onset, end))

    def beside_treatment(self) -> date:
        """A day during or just after a treatment, so that ends meet episodes."""
        if not self.treated or self.rng.random() < 0.25:
            return self.some_day()
        _, onset, end = self.rng.choice(self.treated)
        one = self.rng.choice((onset, end, onset + days(28), onset + days(30), onset + days(3)))
        return min(one + days(self.rng.choice((0, 0, 1, -1, 29))), self.last)

    def pauses(self) -> None:
        """Over period edges, over each other, open ones, at the edges of a long transfer."""
        rng, seen = self.rng, set()
        for _ in range(rng.choice((1, 0, 2, 3))):
            start = self.beside_treatment()
            if start in seen:
                continue
            seen.add(start)
            length = rng.choice((29, 28, 30, 0, 10, 60, 3000))
            self.add(
                "pd_pauses",
                started_on=iso(start),
                last_day_on=self.known(start + days(length)),
                reason=rng.choice(
                    (
                        "temporary_haemodialysis",
                        "temporary_haemodialysis",
                        "catheter_rest",
                        "travel",
                        "other",
                        "",
                    )
                ),
            )

    def catheters(self) -> None:
        """Two on one day, two in place at once, removals in and out of a treatment."""
        rng, inserted = self.rng, pick_day(self.rng, self.first - days(40), self.first + days(60))
        for name in rng.sample(range(1, 13), rng.choice((1, 0, 2, 3, 4))):
            if inserted > self.last:
                break
            removed = max(self.beside_treatment(), inserted)
            ended = rng.random() < 0.7
            self.add(
                "catheters",
                catheter=f"K{name}",
                inserted_on=iso(inserted),
                insertion_method=rng.choice(("open", "laparoscopic", "percutaneous", "other", "")),
                removed_on=self.known(removed) if ended else "",
                removal_reason=self.removal_reason() if ended and removed <= self.last else "",
            )
            again = (inserted, removed, removed + days(20), self.before_an_onset())
            inserted = rng.choice(again)

    def before_an_onset(self) -> date:
        """0, 30 or 31 days before an onset: the window of an insertion-related episode."""
        onset = self.rng.choice(self.treated)[1] if self.treated else self.some_day()
        return onset - days(self.rng.choice((30, 31, 0, 29)))

    def removal_reason(self) -> str:
        reasons = ("peritonitis", "peritonitis", "catheter_infection", "mechanical", "not_needed")
        return self.rng.choice((*reasons, "other", ""))

    def infections(self) -> None:
        """Both sites, chains within a site, within and beyond 90 days of a peritonitis."""
        rng, onset = self.rng, self.some_day()
        if self.treated and rng.random() < 0.5:
            onset = rng.choice(self.treated)[1] + days(rng.choice((0, 90, 91, -90, -91)))
            onset = max(min(onset, self.last), self.first)
        for name in rng.sample(range(1, 13), rng.choice((2, 0, 1, 3, 5))):
            if onset > self.last:
                break
            end = onset + days(rng.choice(TREATMENT_DAYS))
            self.infection(f"X{name}", onset, self.known(end) if rng.random() < 0.85 else "")
            onset = rng.choice((end + days(rng.choice(GAPS)), onset))
            onset = max(onset, self.first)

    def infection(self, name: str, onset: date, ended: str) -> None:
        rng = self.rng
        signs = ("yes", "yes", "yes", "no", "unknown", "")
        organism = rng.choice((*self.palette, *self.palette, "no_growth", ""))
        self.add(
            "catheter_infections",
            infection=name,
            onset_on=iso(onset),
            site=rng.choice(("exit_site", "both", "tunnel")),
            purulent_discharge=rng.choice(signs),
            redness=rng.choice(YES_NO),
            tunnel_inflammation=rng.choice(("no", *signs)),
            tunnel_collection=rng.choice(YES_NO),
            therapy_completed_on=ended,
            organism=organism,
            refractory=rng.choice(YES_NO),
        )

    def admissions(self) -> None:
        """Some name an episode; some run to the day of death, beyond it, or are still open."""
        rng, seen = self.rng, set()
        for _ in range(rng.choice((1, 0, 2, 3))):
            admitted = self.beside_treatment()
            if admitted in seen:
                continue
            seen.add(admitted)
            stays = (self.last, admitted, admitted + days(6), admitted + days(40), date.max)
            named = [episode for episode, _, _ in self.treated]
            self.add(
                "admissions",
                admitted_on=iso(admitted),
                discharged_on=self.known(rng.choice(stays)),
                episode=rng.choice((*named, *named, "")),
            )

    def contaminations(self) -> None:
        if self.rng.random() < 0.2:
            self.add(
                "contaminations",
                kind=self.rng.choice(("dry", "wet")),
                happened_at=moment_text(self.rng, self.some_day(), self.zone),
            )
