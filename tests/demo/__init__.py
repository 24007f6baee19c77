"""How the demonstration's papers, scans and tables are made; ``tests/rebuild_demo.py`` calls it."""
