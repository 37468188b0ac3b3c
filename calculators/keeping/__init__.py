"""Floor 4: the trade. In: what a keeper knows. Out: numbers with what to do, for the catalogue."""
