"""Which confirmed rows count in a rate, and the reason that is told (design 3.1)."""

from tests.recount.sequence import Case


def decide(rows: list[Case], firsts: list[Case]) -> None:
    """Sets counts and reason on all rows of one patient and kind; `firsts` are in order."""
    chain_has_counted = False
    for row in firsts:
        if row.sequence != "relapsing":  # "A chain starts at every class but relapsing"
            chain_has_counted = False
        relapse_of_counted = row.sequence == "relapsing" and chain_has_counted
        row.counts = not row.off_risk and not relapse_of_counted
        chain_has_counted = chain_has_counted or row.counts
    for row in rows:
        row.reason = why_counted(row) if row.counts else why_not_counted(row)


def why_counted(row: Case) -> str:
    """ "counted_ + new, recurrent, repeat, undetermined, relapse_of_uncounted"."""
    if row.sequence == "relapsing":
        return "counted_relapse_of_uncounted"
    return f"counted_{row.sequence}"


def why_not_counted(row: Case) -> str:
    """ "not_counted_ + the first that holds of unconfirmed, not_confirmed, same_episode,
    before_pd, paused, before_training, after_pd, relapse"."""
    if row.confirmed != "confirmed":
        return f"not_counted_{row.confirmed}"
    if row.sequence == "same_episode":
        return "not_counted_same_episode"
    return f"not_counted_{row.off_risk or 'relapse'}"
