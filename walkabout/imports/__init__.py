"""A grower's own lists, brought in from CSV: read strictly, planned line by line, kept all at once."""
