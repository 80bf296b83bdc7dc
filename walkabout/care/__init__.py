"""What follows from facts, entries and today: a pure step, with a thin loader beside it."""
