"""Rates, limits, comparisons: numbers in, numbers out."""
