"""The style sheet that makes the guide look like a drafting sheet."""

from __future__ import annotations

from app.paint.palette import Inks


def sheet_of(inks: Inks) -> str:
    """Return the style sheet of the guide for a paper."""
    return f"""
#guide {{ background: {inks.margin}; color: {inks.ink}; }}
#guide QLabel, #guide QRadioButton {{ color: {inks.ink}; background: transparent; }}
#guideHead {{ background: {inks.paper}; border-bottom: 2px solid {inks.ink}; }}
#guideFoot {{ background: {inks.paper}; border-top: 1px solid {inks.grid_heavy}; }}
#guide QLabel#headTitle {{ font-size: 15pt; font-weight: 600; }}
#guide QLabel#headNote, #guide QLabel#quiet, #guide QLabel#readBack {{ color: {inks.second}; }}
#guide QLabel#pageTitle {{ font-size: 14pt; font-weight: 600; }}
#guide QLabel#pageMark {{ color: {inks.second}; }}
#guide QLabel#axis {{ font-weight: 600; }}
#guide QLabel#error {{ color: {inks.accent}; font-weight: 600; }}
#guide QFrame#question {{ background: {inks.paper}; border: 1px solid {inks.accent};
  border-left: 4px solid {inks.accent}; }}
#guide QFrame#offer {{ background: {inks.paper}; border: 1px solid {inks.ink}; }}
#guide QFrame#card {{ background: {inks.paper}; border: 1px solid {inks.grid_heavy}; }}
#guide QScrollArea, #guide QWidget#form {{ background: transparent; border: none; }}
#guide QLineEdit {{ background: {inks.paper}; color: {inks.ink};
  border: 1px solid {inks.soft}; border-radius: 2px; padding: 3px 6px;
  selection-background-color: {inks.ink}; selection-color: {inks.paper}; }}
#guide QLineEdit:focus {{ border: 2px solid {inks.ink}; padding: 2px 5px; }}
#guide QLineEdit[wrong="true"] {{ border: 2px solid {inks.accent}; padding: 2px 5px; }}
#guide QComboBox QAbstractItemView {{ background: {inks.paper}; color: {inks.ink};
  selection-background-color: {inks.ink}; selection-color: {inks.paper}; }}
#guide QRadioButton::indicator {{ width: 11px; height: 11px; border-radius: 6px;
  border: 1px solid {inks.soft}; background: {inks.paper}; }}
#guide QRadioButton::indicator:checked {{ border: 1px solid {inks.ink};
  background: qradialgradient(cx:0.5, cy:0.5, radius:0.5, fx:0.5, fy:0.5,
  stop:0 {inks.ink}, stop:0.5 {inks.ink}, stop:0.62 {inks.paper}, stop:1 {inks.paper}); }}
#guide QRadioButton {{ border: 1px solid transparent; border-radius: 3px; padding: 1px 5px; }}
#guide QRadioButton:focus {{ border: 1px solid {inks.ink}; background: {inks.paper}; }}
#guide QScrollBar:vertical {{ width: 8px; background: transparent; border: none; }}
#guide QScrollBar::handle:vertical {{ background: {inks.grid_heavy}; border-radius: 4px;
  min-height: 30px; }}
#guide QScrollBar::add-line, #guide QScrollBar::sub-line {{ height: 0; }}
#guide QPushButton {{ color: {inks.ink}; background: {inks.paper}; border: 1px solid {inks.soft};
  border-radius: 3px; padding: 5px 14px; }}
#guide QPushButton:hover {{ border-color: {inks.ink}; }}
#guide QPushButton:focus {{ border: 2px solid {inks.ink}; padding: 4px 13px; }}
#guide QPushButton:checked {{ background: {inks.ink}; color: {inks.paper}; }}
#guide QPushButton:disabled {{ color: {inks.soft}; border-color: {inks.grid_heavy}; }}
#guide QPushButton#main {{ background: {inks.ink}; color: {inks.paper}; border-color: {inks.ink};
  font-weight: 600; }}
#guide QPushButton#main:focus {{ border: 2px solid {inks.accent}; }}
#guide QPushButton#main:disabled {{ background: {inks.grid_heavy}; color: {inks.second};
  border-color: {inks.grid_heavy}; }}
#guide QPushButton#small {{ padding: 2px 10px; }}
#guide QPushButton#usual {{ color: {inks.second}; background: transparent; padding: 2px 6px;
  border: 1px dashed {inks.soft}; text-align: left; }}
#guide QPushButton#usual:hover {{ color: {inks.ink}; border: 1px solid {inks.ink}; }}
#guide QListWidget {{ background: {inks.paper}; color: {inks.ink}; border: none;
  border-right: 1px solid {inks.grid_heavy}; outline: none; padding: 6px 0; }}
#guide QListWidget::item {{ padding: 3px 8px; border-left: 3px solid transparent; }}
#guide QListWidget::item:selected {{ background: {inks.wash}; color: {inks.ink};
  border-left: 3px solid {inks.accent}; }}
#guide QListWidget::item:selected:focus {{ background: {inks.grid_middle}; }}
#guide QListWidget::item:disabled {{ color: {inks.second}; }}
"""
