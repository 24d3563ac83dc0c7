"""What the numbers are worth: rules of thumb beside the plan, shaken numbers, findings that fit no card, endings."""
