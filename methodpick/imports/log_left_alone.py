"""Why groups of a log are left alone: what each holds, and why no boring is made of it."""

from __future__ import annotations

NOT_READ = "the group is not read"
_OF_THE_FILE = "it describes the file"
_CHEMISTRY = "chemistry and gas"
_CLOSED = "how the hole was closed or fitted"
_REMOULDED = "tests on soil that is remoulded, compacted or consolidated, not of a hole just drilled"
_CONES = "what somebody made of a cone test, or how pore pressure fell after it: the readings are read"
_PROBES = "blows of a probe are no standard penetration test"
_JOINTS = "the RQD of the core runs says how the rock is jointed"
_SAMPLES = "it lists samples; their tests are read where they stand"
_WATER_CONTENT = "a water content or a density alone grades no ground"
_SOAKING = "a soakaway or a pumping test: no permeability is stated of a depth"

WHY_LEFT_ALONE: dict[str, str] = {
    group: reason
    for reason, groups in {
        _OF_THE_FILE: "PROJ TRAN TYPE UNIT DICT FILE FSET",
        _SAMPLES: "SAMP LBSG LBST TREM",
        _CLOSED: "BKFL PIPE INST MONS",
        _CHEMISTRY: "CNMT ERES GCHM IPID IFID ELRG TNPC LPDN GCHR GAST IRDX EIND",
        _REMOULDED: "SHBG SHBT CONG CONS CMPG CMPT CBRG CBRT ICBR MCVG MCVT TREG TRET ESCG ESCT RCCV SUCT RELD LRES LDYN PTST",
        _WATER_CONTENT: "LNMC LDEN IDEN IDIS LPEN LVAN IPEN RDEN RWCO LSLT LSTG LSTT",
        _CONES: "SCPP SCDG SCDT CONE CPDG CPDT",
        _PROBES: "DPRB DPRG DPRO",
        _JOINTS: "FRAC DISC FGHG FGHI",
        _SOAKING: "ISAG ISAT PUMG PUMT IPRT",
    }.items()
    for group in groups.split()
}
"""What is said of a group that is not read, by its name in AGS3 or AGS4; of any other that it is not read."""


def why_left_alone(group: str) -> str:
    """Return why a group is left alone.

    >>> why_left_alone("BKFL"), why_left_alone("XYZW")
    ('how the hole was closed or fitted', 'the group is not read')
    """
    return WHY_LEFT_ALONE.get(group, NOT_READ)
