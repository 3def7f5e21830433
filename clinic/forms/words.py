"""The record's choices as people say them."""

_WORDS = {
    "capd": "CAPD",
    "apd": "APD",
    "self": "The patient",
    "family": "A relative",
    "nurse": "A nurse",
    "haemodialysis": "Haemodialysis",
    "temporary_haemodialysis": "Temporary haemodialysis",
    "catheter_rest": "To rest the catheter",
    "no_growth": "No growth",
    "not_taken": "Not taken",
    "pending": "Still waiting",
    "not_needed": "No longer needed",
    "catheter_infection": "Exit-site or tunnel infection",
    "exit_site": "Exit site",
    "moved": "Moved to another clinic",
    "lost": "Lost to follow-up",
    "triggered": "After an event",
    "scheduled": "Scheduled reassessment",
    "initial": "Initial training",
    "touch": "Touch contamination",
    "procedure": "A procedure",
    "enteric": "The bowel",
    "S": "S, susceptible",
    "I": "I, susceptible at increased dose",
    "R": "R, resistant",
    "dry": "Dry: the clamp was closed",
    "wet": "Wet: open, or fluid ran in",
    "unknown": "Not known",
}
# The same value in another column may want other words.
_IN_COLUMN = {("judged_source", "catheter"): "The catheter", ("learner", "helper"): "A helper"}


def choice_label(column: str, value: str) -> str:
    plain = value.replace("_", " ").capitalize()
    return _IN_COLUMN.get((column, value)) or _WORDS.get(value) or plain
