"""Exit codes that every command shares: 0 done, and the three ways in which it is not."""

DATA = 1  # what was read is at fault
CALL = 2  # the call is wrong
MACHINE = 3  # database, disk or broker
