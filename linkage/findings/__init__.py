"""Findings: every check of a design with its value, limit, verdict, reason and source.

A check is one record in `linkage.findings.register`; what it looks at was worked out
once, in `linkage.findings.facts`.
"""
