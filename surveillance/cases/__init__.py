"""Recorded episodes become cases: criteria, organisms, sequence, outcomes, counted or not."""
