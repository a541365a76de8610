"""What was found, and what follows from it."""

from surveys.models.criteria import Assignment, Benchmark, CriteriaSet, CriteriaVersion
from surveys.models.draft import Draft, Revision, SetAside
from surveys.models.earlier import EarlierBatch, EarlierChange, EarlierCounted, EarlierOpening, EarlierResult
from surveys.models.finding import Finding, FindingChange
from surveys.models.instrument import Calibration, Instrument
from surveys.models.label import LabelCopy, LabelPutOn
from surveys.models.notice import Notice, NoticeClaim, NoticeHood, NoticeTry
from surveys.models.qualification import Qualification
from surveys.models.record import Record
from surveys.models.stop import Stop, StopChange
from surveys.models.survey import Approval, Judgement, Reading, Survey, Traverse
from surveys.models.transcription import Transcription

__all__ = [
    "Approval", "Assignment", "Benchmark", "Calibration", "CriteriaSet", "CriteriaVersion", "Draft",
    "EarlierBatch", "EarlierChange", "EarlierCounted", "EarlierOpening", "EarlierResult", "Finding", "FindingChange",
    "Instrument", "Judgement", "LabelCopy", "LabelPutOn", "Notice", "NoticeClaim", "NoticeHood", "NoticeTry",
    "Qualification", "Reading", "Record", "Revision", "SetAside", "Stop", "StopChange", "Survey", "Transcription", "Traverse",
]  # fmt: skip
