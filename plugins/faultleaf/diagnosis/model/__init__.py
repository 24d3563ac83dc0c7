"""One call as numbers: the problem, what its cards mean, and the states that findings lead to."""
