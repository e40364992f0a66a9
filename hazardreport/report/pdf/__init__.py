"""Draws a ReportDocument as PDF."""
