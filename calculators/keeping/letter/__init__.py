"""What a keeper wrote, read for the facts a plan needs.

In: free text. Out: facts, each as it would be typed into the tank card, with the words it was read
from, so that whoever answers can see and correct it. Numbers are read with their units, and a few
words of the trade; no meaning is guessed, and what cannot be placed is left.
"""
