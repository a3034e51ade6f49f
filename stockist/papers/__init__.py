"""Papers that go with the tyres, drawn as PDF from what was written down when they left."""
