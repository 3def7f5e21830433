"""Limits that we chose, in one place; each message that a limit causes prints it."""

# common practice, no source: every number of this file

TEXT_CHARACTERS = 200
NOTE_CHARACTERS = 4000
EARLIEST_YEAR = 1900
OLDEST_AGE_YEARS = 110
# Far above what an infected peritoneum sheds: accepted, and asked about.
LEUCOCYTES_HIGH_PER_UL = 50_000
# A count in 10^9/L typed into a field that is per µL looks like this.
LEUCOCYTES_VERY_LOW_PER_UL = 20
LARGEST_CELLS_1E9_PER_L = 100
WIDEST_OFFSET_HOURS = 14  # IANA time zone data: no zone is further from UTC (memory)
SHOWN_CHARACTERS = 80
