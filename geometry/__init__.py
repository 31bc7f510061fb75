"""Suspension geometry: pure numbers in mm, N and rad. No Qt, no files, no clock."""
