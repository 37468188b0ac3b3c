"""Floor 5: a calculator as HTML.

In: a catalogue entry, its inputs as text and the document that ``calculators.ask`` answers.
Out: complete static HTML with the prepared answers, which the page's script later makes live.
Knows nothing of MkDocs or Markdown.
"""
