"""Makes the modules beside it importable from every folder of tests."""
