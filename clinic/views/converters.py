"""Parts of addresses that stand for something of the record."""

from clinic.actions.rights import RIGHTS
from clinic.views.episode_part import PARTS


class SubjectConverter:
    """A subject that forms can write; any other word is no address."""

    regex = "|".join(RIGHTS)

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


class PartConverter(SubjectConverter):
    """A subject whose rows hang on a patient's record; a patient has a page of its own."""

    regex = "|".join(name for name in RIGHTS if name != "patients")


class EpisodeStepConverter(SubjectConverter):
    """A step in an episode's course that has a short form of its own."""

    regex = "|".join(PARTS)


class EpisodeConverter(SubjectConverter):
    """The subjects that have an Episode page."""

    regex = "peritonitis|catheter_infections"
