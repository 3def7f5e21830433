"""The clinic's settings: rules and targets, phases of the signals, local text, due schedule."""
