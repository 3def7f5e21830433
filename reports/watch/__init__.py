"""Watch: what stands out of chance, what was looked at and found quiet, and the work on both."""
