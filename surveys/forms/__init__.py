"""Forms of surveys: they validate, they never save."""

from surveys.forms.survey import LabelPutOn, Signature, Start, Survey

__all__ = ["LabelPutOn", "Signature", "Start", "Survey"]
