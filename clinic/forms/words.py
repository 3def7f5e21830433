"""The record's choices as people say them."""

from clinic.columns import Column

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
    "none": "None of these",
    "touched": "Line dropped, tip touched, loose cap",
    "leak": "Leak or wet connection",
    "helper_changed": "Helper changed",
    "bowel": "Constipation or diarrhoea",
    "exit_site_changed": "Exit site looks different",
    "bath_or_swim": "Bath or swim",
    "pet_or_visitor": "Pet or visitor near, no mask",
    "antibiotics": "Antibiotics in the last 30 days",
    "hospital_stay": "Hospital stay",
    "travel": "Travel, or a shared exchange room",
    "intraluminal": "Touch or other contamination inside the line",
    "connection": "Leak, crack or loose cap",
    "insertion": "The insertion of the catheter",
    "pre_pd": "Before PD began",
    "gynaecological": "Gynaecological",
    "environmental": "Water, animals, the surroundings",
    "health_care": "An exchange made by health care",
    "product": "A product batch",
    "undetermined": "Cannot be told",
    "vision_or_dexterity": "Vision or dexterity",
    "mood": "Low mood",
    "new_helper": "New helper",
    "ruled_out": "Ruled out",
    "undecided": "Not to be decided",
    "prompted": "Done after a prompt",
    "not_done": "Not done",
    "not_applicable": "Does not apply",
    "final": "Final",
    "external_cuff": "External cuff",
    "keep": "Kept in place",
    "remove": "To be removed",
    "replace": "To be replaced",
}
# The same value in another column may want other words.
_IN_COLUMN = {
    ("judged_source", "catheter"): "The catheter",
    ("route", "catheter"): "Exit site or tunnel",
    ("learner", "helper"): "A helper",
    ("happened", "procedure"): "Scope, dental or other procedure",
    **{("swelling", n): said for n, said in
       (("0", "None"), ("1", "At the exit only"), ("2", "Over half a centimetre, or the tunnel"))},
    **{(sign, n): said for sign in ("crust", "redness") for n, said in
       (("0", "None"), ("1", "Under half a centimetre"), ("2", "Over half a centimetre"))},
    **{("pain", n): said for n, said in (("0", "None"), ("1", "Slight"), ("2", "Severe"))},
    **{("secretion", n): said for n, said in (("0", "None"), ("1", "Serous"), ("2", "Purulent"))},
}  # fmt: skip


def choice_words(column: Column, value: str) -> str:
    """A stored choice, or several joined by `;`, as a person reads it."""
    return ", ".join(choice_label(column.name, one) for one in value.split(";"))


def choice_label(column: str, value: str) -> str:
    plain = value.replace("_", " ").capitalize()
    return _IN_COLUMN.get((column, value)) or _WORDS.get(value) or plain
