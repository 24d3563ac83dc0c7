"""What to do now: the belief, the best run of repairs, a look ahead, and the steps in a master's order."""
