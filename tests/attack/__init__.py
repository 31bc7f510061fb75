"""The attack on the program: damaged files, wild hands and kills; see DEVELOPERS.md.

Each part has a short run among the tests, and a long one: `python -m tests.attack`.
"""
