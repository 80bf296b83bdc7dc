"""Numbered schema steps, oldest first. A step is never changed after its release; a new one is added."""

from walkabout.records.steps import step_0001, step_0002, step_0003

STEPS: tuple[tuple[str, ...], ...] = (step_0001.STATEMENTS, step_0002.STATEMENTS, step_0003.STATEMENTS)
