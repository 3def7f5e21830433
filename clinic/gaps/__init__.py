"""What is open in a clinic's record: warnings not settled, fields missing, names not mapped."""

from clinic.gaps.missing import MissingOf, missing_fields
from clinic.gaps.warnings import Gap, open_warnings

__all__ = ["Gap", "MissingOf", "missing_fields", "open_warnings"]
