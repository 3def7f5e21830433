"""The diagnostic criteria, and whether an episode is confirmed (design 3.1)."""

from tests.recount.seen import Episode, Infection, Sample

MET, NOT_MET, NOT_ASSESSABLE = "met", "not_met", "not_assessable"


def clinical_criterion(episode: Episode) -> str:
    """ "cloudy_effluent or abdominal_pain yes -> met; both no -> not met"."""
    signs = (episode.cloudy_effluent, episode.abdominal_pain)
    if "yes" in signs:
        return MET
    return NOT_MET if signs == ("no", "no") else NOT_ASSESSABLE


def cell_criterion(samples: list[Sample]) -> str:
    """ "a sample with dwell >= 2 h, > 100/uL and > 50 % -> met; at least one sample and every
    one with dwell >= 2 h and a value at or below its limit -> not met"."""
    if any(
        dwelt(s) and above(s.leucocytes_per_ul, 100) and above(s.neutrophil_percent, 50)
        for s in samples
    ):
        return MET
    fails = [
        dwelt(s) and (within(s.leucocytes_per_ul, 100) or within(s.neutrophil_percent, 50))
        for s in samples
    ]
    return NOT_MET if fails and all(fails) else NOT_ASSESSABLE


def dwelt(sample: Sample) -> bool:
    return sample.dwell_hours is not None and sample.dwell_hours >= 2


def above(value: float | None, limit: float) -> bool:
    return value is not None and value > limit


def within(value: float | None, limit: float) -> bool:
    return value is not None and value <= limit


def culture_group(samples: list[Sample]) -> str:
    """ "the first that holds over all samples"."""
    if any(s.organisms or s.culture == "grown" for s in samples):
        return "positive"
    cultures = {s.culture for s in samples}
    if "pending" in cultures:
        return "culture_pending"
    return "culture_negative" if "no_growth" in cultures else "not_cultured"


def culture_criterion(samples: list[Sample]) -> str:
    """ "positive -> met, negative -> not met"."""
    verdicts = {"positive": MET, "culture_negative": NOT_MET}
    return verdicts.get(culture_group(samples), NOT_ASSESSABLE)


def confirmed_peritonitis(criteria: list[str]) -> str:
    """ "two met -> confirmed; cannot reach two -> not_confirmed; else unconfirmed"."""
    if criteria.count(MET) >= 2:
        return "confirmed"
    return "not_confirmed" if criteria.count(NOT_MET) >= 2 else "unconfirmed"


def confirmed_exit_site(infection: Infection) -> str:
    """ "Exit site: pus yes -> confirmed, no -> not"."""
    verdicts = {"yes": "confirmed", "no": "not_confirmed"}
    return verdicts.get(infection.purulent_discharge, "unconfirmed")


def confirmed_tunnel(infection: Infection) -> str:
    """ "Tunnel: inflammation or collection yes -> confirmed; both no -> not"."""
    signs = (infection.tunnel_inflammation, infection.tunnel_collection)
    if "yes" in signs:
        return "confirmed"
    return "not_confirmed" if signs == ("no", "no") else "unconfirmed"
