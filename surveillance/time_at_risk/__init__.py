"""Spells, pauses, trainings and catheters become days at risk, by clinic, period and band."""
