"""Limits of the API that we chose, in one place; each message that a limit causes prints it."""

# common practice, no source: every number of this file

BODY_BYTES = 16 * 1024 * 1024
NESTING_LEVELS = 32
BODY_FIELDS = 500
PAGE_ROWS = 50
MOST_PAGE_ROWS = 200
KEY_CHARACTERS = 200  # of an Idempotency-Key
REASON_CHARACTERS = 400
