"""Large counts and timings, too slow for the suite: `python -m tests.bench` (`make bench`) prints a table."""
