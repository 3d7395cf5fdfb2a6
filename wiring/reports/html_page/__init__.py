"""The report as one self-contained page: findings beside the drawing. It fetches nothing and runs nothing of a plan."""

from wiring.reports.html_page.page import render_html

__all__ = ["render_html"]
