"""What is printed: the best chart of so many boxes, found by growing, polishing and giving boxes up."""
