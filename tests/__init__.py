"""Tests, as a package: an installed library also ships a folder of this name."""
