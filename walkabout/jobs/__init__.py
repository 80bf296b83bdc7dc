"""What runs without a visitor. Every moment is an argument; the thread that asks the clock is in schedule.py."""
