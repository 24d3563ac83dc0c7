"""How good a plan can be at most: lower bounds, and the search that closes the gap."""
