"""DIGGS of three editions, by small invented files; the structure is that of the public examples, and for casing, flush,
stability and water not encountered that of the schema."""

import pytest

from methodpick.errors import InputError
from methodpick.imports import diggs
from methodpick.imports.diggs import read_diggs
from methodpick.imports.input_formats import DIGGS

GML = 'xmlns:gml="http://www.opengis.net/gml/3.2" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:glr="http://www.opengis.net/gml/3.3/lr"'
CLASS_2 = '<propertyClass codeSpace="urn:x-diggs:def:code-list:property">{}</propertyClass>'
CLASS_3 = '<propertyClass codeSpace="https://diggsml.org/def/codes/DIGGS/0.1/properties.xml#{}">Some label</propertyClass>'


def file(*parts, edition="2.6"):
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<Diggs xmlns="http://diggsml.org/schemas/{edition}" {GML}>\n'
        + "\n".join(parts)
        + "\n</Diggs>\n"
    )


def borehole(*parts, name="FR-1", units="<glr:units>ft</glr:units>", link="", total='<totalMeasuredDepth uom="ft">40</totalMeasuredDepth>'):
    method = f"<glr:LinearReferencingMethod>{units}</glr:LinearReferencingMethod>" if units else ""
    return (
        f'<samplingFeature><Borehole gml:id="id-{name}"><gml:name>{name}</gml:name>'
        f'<linearReferencing><glr:LinearSpatialReferenceSystem gml:id="axis-{name}"><glr:lrm{link}>{method}</glr:lrm>'
        f"</glr:LinearSpatialReferenceSystem></linearReferencing>{total}{''.join(parts)}</Borehole></samplingFeature>"
    )


def at(*depths):
    return f"<location><LinearExtent><gml:posList>{' '.join(str(depth) for depth in depths)}</gml:posList></LinearExtent></location>"


def layer(top, base, words, more=""):
    depths = at(top) if base is None else at(top, base)
    text = f"<lithDescription>{words}</lithDescription>" if words else ""
    return (
        f"<lithologyObservation><LithologyObservation>{depths}<primaryLithology><Lithology>{text}{more}</Lithology></primaryLithology>"
        "</LithologyObservation></lithologyObservation>"
    )


def system(*layers, home="id-FR-1"):
    return f'<observation><LithologySystem><samplingFeatureRef xlink:href="#{home}"/>{"".join(layers)}</LithologySystem></observation>'


def measurement(depths, properties, values, procedure="", home="id-FR-1", form=CLASS_2):
    listed = "".join(
        f'<Property index="{index}">{form.format(name)}<uom>{unit}</uom></Property>' for index, (name, unit) in enumerate(properties, 1)
    )
    return (
        f'<measurement><Test><samplingFeatureRef xlink:href="#{home}"/><outcome><TestResult>{depths}<results><ResultSet><parameters>'
        f"<PropertyParameters><properties>{listed}</properties></PropertyParameters></parameters>"
        f'<dataValues cs="," ts=" " decimal=".">{values}</dataValues></ResultSet></results></TestResult></outcome>'
        f"<procedure>{procedure}</procedure></Test></measurement>"
    )


def drives(*pairs, unit="in", kind="SPT"):
    sets = "".join(
        f"<driveSet><DriveSet><index>{index}</index><blowCount>{blows}</blowCount>"
        f'<penetration uom="{unit}">{length}</penetration></DriveSet></driveSet>'
        for index, (blows, length) in enumerate(pairs, 1)
    )
    head = f'<penetrationTestType>{kind}</penetrationTestType><hammerEfficiency uom="%">82</hammerEfficiency>'
    return f"<DrivenPenetrationTest>{head}{sets}</DrivenPenetrationTest>"


GROUND = system(layer(0, 12, "Soft gray lean CLAY"), layer(12, 40, "Dense brown SAND"))
N_VALUE = (("n_value", ""),)


def only(*parts, edition="2.6"):
    return read_diggs(file(*parts, edition=edition), "ferry-road.xml").profiles[0]


@pytest.mark.parametrize("edition", ["2.5.a", "2.6", "3"])
def test_layers_in_feet_of_every_edition(edition):
    boring = only(borehole(), GROUND, edition=edition)
    assert (boring.id, boring.depth_m) == ("FR-1", 12.192)
    assert [(layer.top_m, layer.base_m, layer.description) for layer in boring.layers] == [
        (0.0, 3.658, "Soft gray lean CLAY"),
        (3.658, 12.192, "Dense brown SAND"),
    ]


def test_the_unit_of_depths_may_stand_in_a_link_or_in_the_total_depth():
    expected = only(borehole(), GROUND)
    assert only(borehole(units="", link=' xlink:href="https://diggsml.org/def/crs/DIGGS/0.1/lrm.xml#md_ft"'), GROUND) == expected
    assert only(borehole(units=""), GROUND) == expected
    metres = only(borehole(units="<glr:units>m</glr:units>", total='<totalMeasuredDepth uom="m">40</totalMeasuredDepth>'), GROUND)
    assert metres.layers[0].base_m == 12.0


def test_the_days_of_drilling_are_those_of_its_construction():
    days = "<whenConstructed><TimeInterval><start/><end>2026-03-10T00:00:00</end></TimeInterval></whenConstructed>"
    assert only(borehole(days), GROUND).date == "2026-03-10"
    assert only(borehole(days.replace("<start/>", "<start>2026-03-09</start>")), GROUND).date == "2026-03-09 to 2026-03-10"
    assert only(borehole(), GROUND).date is None


def test_a_unit_is_never_guessed():
    with pytest.raises(InputError, match="does not say the unit"):
        only(borehole(units="", total="<totalMeasuredDepth>40</totalMeasuredDepth>"), GROUND)


def test_the_survey_foot_is_not_the_foot():
    level = '<referencePoint><PointLocation><gml:pos uomLabels="dega dega ftUS">39.1 -81.2 {}</gml:pos></PointLocation></referencePoint>'
    assert only(borehole(level.format("10000")), GROUND).ground_elevation_m == 3048.006  # 10 000 x 1200/3937 m


@pytest.mark.parametrize(
    ("attributes", "line", "level"),
    [
        ('srsName="urn:diggs:def:crs:DIGGS:0.1:4326_5703"', "", 100.0),
        ('srsName="urn:x"', "<centerLine><LinearExtent><gml:posList>1 2 100 1 2 60</gml:posList></LinearExtent></centerLine>", 30.48),
        ('srsName="urn:x"', "", None),
    ],
)
def test_the_unit_of_the_level_lies_in_its_datum_or_in_the_length_of_the_axis(attributes, line, level):
    point = f"<referencePoint><PointLocation><gml:pos {attributes}>39.1 -81.2 100</gml:pos></PointLocation></referencePoint>"
    assert only(borehole(point, line), GROUND).ground_elevation_m == level


@pytest.mark.parametrize(("form", "edition"), [(CLASS_2, "2.6"), (CLASS_3, "3")])
def test_penetration_tests_with_their_drives(form, edition):
    full = measurement(at(5, 6.5), N_VALUE, "17", drives((9, 6), (8, 6), (9, 6)), form=form)
    refused = measurement(at(20, 20.8), N_VALUE, "50", drives((22, 6), (50, 3)), form=form)
    boring = only(borehole(), GROUND, full, refused, edition=edition)
    assert [(test.n, test.blows, test.penetration_m) for test in boring.spt] == [(17, (9, 8, 9), None), (50, (), 0.0762)]
    assert boring.hammer_efficiency_percent == 82


def test_the_value_of_a_property_is_that_of_its_place_in_the_list():
    properties = (("usc_symbol", ""), ("n_value", ""), ("n1_60", ""))
    boring = only(borehole(), GROUND, measurement(at(5, 6.5), properties, '"SM, silty",17,24', drives()))
    assert [test.n for test in boring.spt] == [17]


def test_another_kind_of_penetration_test_is_set_aside_with_a_doubt():
    read = read_diggs(file(borehole(), GROUND, measurement(at(5, 6), N_VALUE, "17", drives(kind="DCP"))))
    assert read.profiles[0].spt == ()
    assert any("not a standard penetration test" in doubt.message for doubt in read.doubts)


def test_drives_in_feet():
    boring = only(borehole(), GROUND, measurement(at(20, 21), N_VALUE, "50", drives((22, 0.5), (50, 0.25), unit="ft")))
    assert boring.spt[0].penetration_m == 0.0762


def test_a_symbol_is_read_from_any_code_and_words_in_its_place_are_not():
    codes = '<classificationCode codeSpace="USCS">contains fragments</classificationCode><classificationSymbol>CL</classificationSymbol>'
    boring = only(borehole(), system(layer(0, 12, "Soft gray CLAY", codes), layer(12, 40, "SAND", "<legendCode>SP-SM</legendCode>")))
    assert [layer.symbol for layer in boring.layers] == ["CL", "SP-SM"]


def test_a_description_is_put_together_from_its_parts():
    parts = (
        "<color><Color><colorName>brown</colorName></Color></color>"
        "<constituent><Constituent><codeValue>silt and clay</codeValue></Constituent></constituent>"
        "<constituent><Constituent><codeValue>some sand</codeValue></Constituent></constituent>"
        "<fieldProperties><FieldProperties><consistency>hard</consistency><moistureCondition>damp</moistureCondition></FieldProperties></fieldProperties>"
    )
    assert only(borehole(), system(layer(0, 40, "", parts))).layers[0].description == "hard brown silt and clay, some sand, damp"


def test_a_depth_inside_a_layer_is_a_detail_of_it_and_not_a_layer():
    read = read_diggs(file(borehole(), system(layer(0, 40, "Soft CLAY"), layer(8, None, "becoming gray"), layer(9, None, ""))))
    assert len(read.profiles[0].layers) == 1
    assert [(remark.depth_m, remark.text) for remark in read.profiles[0].remarks] == [(2.438, "becoming gray")]
    counted = next(count for count in read.counts if count.group == "LithologyObservation")
    assert (counted.rows, counted.used) == (3, 2)


def test_a_layer_without_a_base_ends_at_the_next_one():
    read = read_diggs(file(borehole(), system(layer(0, None, "Soft CLAY"), layer(10, None, "Dense SAND"))))
    assert [layer.base_m for layer in read.profiles[0].layers] == [3.048, 12.192]
    assert sum("no base" in doubt.message for doubt in read.doubts) == 2


def strike(inner):
    return f"<waterStrike><WaterStrike>{inner}</WaterStrike></waterStrike>"


def reading(depth, more=""):
    place = f"<waterLocation><PointLocation><gml:pos>{depth}</gml:pos></PointLocation></waterLocation>"
    return f"<WaterStrikeReading>{more}{place}</WaterStrikeReading>"


def test_water_at_drilling_and_a_day_later():
    first = reading(20, "<dateTime>2031-01-11T00:00:00</dateTime>")
    later = reading(14, "<status>One day following drilling</status>")
    text = strike(f"<initialWaterStrikeReading>{first}</initialWaterStrikeReading><postStrikeReading>{later}</postStrikeReading>")
    water = only(borehole(text), GROUND).water
    assert [(one.reading, one.depth_m, one.after_h) for one in water] == [("settled", 4.267, 24.0), ("while_drilling", 6.096, None)]


def test_water_of_edition_3_says_its_time_in_words():
    told = "<remark><Remark><content>Water level after 15 mins.</content></Remark></remark>"
    text = strike(f"<status>After drilling</status>{told}<waterStrikeReadings>{reading(14)}</waterStrikeReadings>")
    (water,) = only(borehole(text), GROUND, edition="3").water
    assert (water.reading, water.depth_m, water.after_h) == ("end_of_drilling", 4.267, 0.25)


def test_water_not_encountered_is_a_fact():
    (water,) = only(borehole(strike("<notEncountered>true</notEncountered>")), GROUND).water
    assert (water.reading, water.hole_depth_m) == ("none_met", 12.192)


@pytest.mark.parametrize(
    "result",
    [
        "<reading><Reading><outcome><MonitorResult>{}</MonitorResult></outcome></Reading></reading>",
        "<outcome><TemporalResult>{}</TemporalResult></outcome>",
    ],
)
def test_levels_of_a_standpipe_in_any_order_of_time(result):
    well = '<samplingFeature><Well gml:id="w"><samplingFeatureRef xlink:href="#id-FR-1"/></Well></samplingFeature>'
    zone = '<place><LinearExtent gml:id="zone"><gml:posList>19 25</gml:posList></LinearExtent></place>'
    zone += '<responseZoneLocationRef xlink:href="#zone"/>'
    values = (
        "<timeDomain><TimePositionList><timePositionList>2031/03/01 2031/01/15</timePositionList></TimePositionList></timeDomain>"
        "<results><ResultSet>"
        f"<parameters><PropertyParameters><properties><Property index='1'>{CLASS_3.format('water_depth')}<uom>ft</uom></Property>"
        "</properties>"
        "</PropertyParameters></parameters><dataValues>8 10</dataValues></ResultSet></results>"
    )
    monitor = f'<measurement><Monitor gml:id="m"><samplingFeatureRef xlink:href="#w"/>{zone}{result.format(values)}</Monitor></measurement>'
    (water,) = only(borehole(), well, GROUND, monitor).water
    assert (water.reading, water.depth_m, water.response_zone_m) == ("piezometer", 2.438, (5.791, 7.62))
    assert [(level.date, level.depth_m) for level in water.history] == [("2031-01-15", 3.048), ("2031-03-01", 2.438)]


def activity(more):
    return (
        '<samplingActivity><SamplingActivity><samplingFeatureRef xlink:href="#id-FR-1"/><samplingLocation><LinearExtent>'
        f"<gml:posList>30 35</gml:posList></LinearExtent></samplingLocation>{more}</SamplingActivity></samplingActivity>"
    )


def test_core_runs_by_length_and_by_percent():
    by_length = activity(
        '<rockQualityDesignationLength uom="ft">3.9</rockQualityDesignationLength>'
        '<totalSampleRecoveryLength uom="ft">5</totalSampleRecoveryLength>'
    )
    by_percent = activity('<samplingActivityRQD uom="%">78</samplingActivityRQD>')
    for text in (by_length, by_percent):
        (run,) = only(borehole(), GROUND, text).cores
        assert (run.top_m, run.base_m, run.rqd_percent) == (9.144, 10.668, 78.0)
    assert only(borehole(), GROUND, activity("<activityType>collect</activityType>")).cores == ()


def test_limits_fines_and_strength_reach_their_layer():
    limits = measurement(at(5), (("liquid_limit", "%"), ("plastic_limit", "%")), "41,19", "<AtterbergLimitsTest/>")
    blank = measurement(at(6), (("liquid_limit", "%"), ("plastic_limit", "%")), "31 17", "<AtterbergLimitsTest/>")
    fines = measurement(at(20), (("percent_sand", "%"), ("percent_fines", "%")), "86,10", "<ParticleSizeTest/>")
    strength = measurement(at(5), (("shear_strength_undrained", "psi"),), "5", "<TriaxialTest/>")
    boring = only(borehole(), GROUND, limits, blank, fines, strength)
    assert (boring.layers[0].pi_percent.low, boring.layers[0].pi_percent.high) == (14.0, 22.0)
    assert boring.layers[1].fines_percent.likely == 10.0
    assert boring.layers[0].su_kpa.likely == pytest.approx(34.474, abs=0.001)  # 5 psi


def test_a_test_finds_its_boring_by_its_sample():
    sample = '<sample><Sample gml:id="s1"><samplingActivityRef xlink:href="#a1"/></Sample></sample>'
    made = activity("").replace("<SamplingActivity>", '<SamplingActivity gml:id="a1">')
    specimen = '<ParticleSizeTest><specimen><SoilSpecimen><sampleRef xlink:href="#s1"/></SoilSpecimen></specimen></ParticleSizeTest>'
    fines = measurement(at(20), (("percent_fines", "%"),), "10", specimen).replace('<samplingFeatureRef xlink:href="#id-FR-1"/>', "")
    read = read_diggs(file(borehole(), borehole(name="FR-2"), GROUND, sample, made, fines))
    assert read.profiles[0].layers[1].fines_percent.likely == 10.0


def test_a_reference_that_leads_nowhere():
    read = read_diggs(file(borehole(), system(layer(0, 40, "Soft CLAY"), home="gone")))
    assert len(read.profiles[0].layers) == 1
    assert any("leads nowhere" in doubt.message for doubt in read.doubts)
    read = read_diggs(file(borehole(), borehole(name="FR-2"), GROUND, system(layer(0, 40, "Soft CLAY"), home="gone")))
    assert [len(profile.layers) for profile in read.profiles] == [2, 0]
    assert any(doubt.severity == "serious" for doubt in read.doubts)


def method(words, *depths):
    place = at(*depths) if depths else ""
    return (
        f"<constructionMethod><BoreholeConstructionMethod>{place}<constructionMethod><Specification><gml:name>{words}</gml:name></Specification>"
        "</constructionMethod><holeStability>hole caved below 15 ft</holeStability></BoreholeConstructionMethod></constructionMethod>"
    )


@pytest.mark.parametrize(
    ("words", "technique"),
    [
        ('3.25" HSA', "hollow_stem_auger"),
        ("Mud rotary", "mud_rotary"),
        ("Auger/Rotary", "unknown"),
        ("NQ rock core", "core"),
        ("Solid stem auger", "solid_auger"),
    ],
)
def test_technique(words, technique):
    assert only(borehole(method(words)), GROUND).technique == technique


def test_technique_by_depth_casing_flush_and_stability():
    place = at(0, 18).replace("location>", "casingLocation>")
    size = '<casingOutsideDiameter uom="in">6</casingOutsideDiameter>'
    more = (
        method("HSA", 0, 21),
        method("Rock core", 21, 40),
        f"<casing><Casing>{place}{size}</Casing></casing>",
        f"<flush><Flush>{at(21, 40)}<flushType>water</flushType><minFlushReturn>30</minFlushReturn></Flush></flush>",
    )
    boring = only(borehole(*more), GROUND)
    assert (boring.technique_at(3.0), boring.technique_at(10.0)) == ("hollow_stem_auger", "core")
    assert (boring.casing_depth_m, boring.casings[0].diameter_m) == (5.486, 0.1524)
    assert {"collapse", "fluid_loss"} <= {remark.tag for remark in boring.remarks}


def test_the_lining_of_a_standpipe_is_no_casing_of_the_boring():
    lining = "<wellCasing><Casing><casingMaterial>PVC</casingMaterial></Casing></wellCasing>"
    read = read_diggs(file(borehole(lining), GROUND))
    assert read.profiles[0].casings == ()
    assert "Casing" not in {count.group for count in read.counts}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('<?xml version="1.0"?><!DOCTYPE Diggs [<!ENTITY a "b">]><Diggs>&a;</Diggs>', "document type"),
        ("<Diggs>" * 120 + "</Diggs>" * 120, "elements more than"),
        ("<Diggs><a></Diggs>", "no well-formed XML"),
        ("<Other/>", "holds Other"),
        ("<Diggs/>", "no Borehole"),
        ('<?xml version="1.0" encoding="nonsense"?><Diggs/>', "XML"),
        ("", "empty"),
    ],
)
def test_hostile_and_foreign_xml_is_refused_with_the_reason(text, said):
    with pytest.raises(InputError, match=said):
        read_diggs(text, "a.xml")


def test_a_file_that_is_too_large_is_refused(tmp_path, monkeypatch):
    path = tmp_path / "large.xml"
    path.write_text(file(borehole(), GROUND), encoding="utf-8")
    monkeypatch.setattr(diggs, "MOST_BYTES", 100)
    with pytest.raises(InputError, match="the most read is 100"):
        read_diggs(path)


@pytest.mark.parametrize("before", ["", "\n", '<?xml version="1.0"?>\n<!-- from a database -->\n'])
def test_a_file_is_known_by_its_outermost_element(before):
    assert DIGGS.matches(before + '<Diggs xmlns="http://diggsml.org/schemas/3">')
    assert DIGGS.matches(before + "<diggs:Diggs>")
    assert not DIGGS.matches(before + "<kml>")


def coded(code, element="classificationCode"):
    return f'<{element} codeSpace="https://diggsml.org/def/codes/DIGGS/0.1/some.xml#{code}">{code}</{element}>'


@pytest.mark.parametrize(
    ("codes", "symbol", "words", "soils"),
    [
        (coded("CL") + coded("A-7-6"), "CL", "", {"clay"}),
        (coded("A-6"), "A-6", "", {"clay", "silty_sand"}),
        (coded("lean_clay"), None, "lean clay", {"clay"}),
        (coded("Limestone", "lithologyType"), None, "Limestone", {"rock"}),
        (coded("Poorly graded sand with silt", "classificationName"), None, "Poorly graded sand with silt", {"clean_sand", "silty_sand"}),
    ],
)
def test_a_layer_that_only_codes_name(codes, symbol, words, soils):
    (found,) = only(borehole(), system(layer(0, 40, "", codes))).layers
    assert (found.symbol, found.description, found.described.soils) == (symbol, words, soils)


def test_two_boreholes_of_one_name_stay_two():
    twins = borehole().replace("id-FR-1", "id-A") + borehole().replace("id-FR-1", "id-B").replace("axis-FR-1", "axis-B")
    read = read_diggs(file(twins, system(layer(0, 12, "Soft CLAY"), home="id-A"), system(layer(0, 20, "Dense SAND"), home="id-B")), "a.xml")
    assert [(one.id, one.layers[0].description) for one in read.profiles] == [("FR-1", "Soft CLAY"), ("FR-1 (2)", "Dense SAND")]
    assert any(doubt.severity == "serious" and "second borehole" in doubt.message for doubt in read.doubts)


def test_of_two_systems_over_each_other_the_one_with_more_words_has_the_layers():
    units = system(layer(0, 5, ""), layer(5, 40, "Lake deposits"))
    read = read_diggs(file(borehole(), units, GROUND), "a.xml")
    assert [layer.base_m for layer in read.profiles[0].layers] == [3.658, 12.192]
    assert any("another system" in doubt.message for doubt in read.doubts)
    assert any("Lake deposits" in remark.text for remark in read.profiles[0].remarks)


def test_systems_below_each_other_are_all_layers():
    boring = only(borehole(), system(layer(0, 12, "Soft gray CLAY")), system(layer(12, 40, "Gray LIMESTONE")))
    assert [layer.base_m for layer in boring.layers] == [3.658, 12.192]


def test_a_strike_may_stand_outside_its_borehole():
    strike = (
        '<observation><WaterStrike gml:id="w"><samplingFeatureRef xlink:href="#id-FR-1"/><initialWaterStrikeReading><WaterStrikeReading>'
        "<waterLocation><PointLocation><gml:pos>18</gml:pos></PointLocation></waterLocation></WaterStrikeReading>"
        "</initialWaterStrikeReading></WaterStrike></observation>"
    )
    assert [one.met_m for one in only(borehole(), GROUND, strike).water] == [5.486]


def test_the_ground_of_a_pit_is_read():
    pit = borehole(name="TP-1").replace("Borehole", "TrialPit")
    read = read_diggs(file(borehole(), pit, GROUND, system(layer(0, 6, "Fill"), home="id-TP-1")), "a.xml")
    assert [(one.id, len(one.layers)) for one in read.profiles] == [("FR-1", 2), ("TP-1", 1)]


def test_units_by_the_unified_code():
    total = '<totalMeasuredDepth uom="[ft_i]">40</totalMeasuredDepth>'
    assert only(borehole(units="<glr:units>[ft_i]</glr:units>", total=total), GROUND) == only(borehole(), GROUND)
