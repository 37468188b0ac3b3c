"""Floor 3: the tank as one thing. In: a tank card. Out: heat and vapour, steady and over time."""
