package table

// A Column is one column that a table may have.
type Column struct {
	Name      string
	Wanted    bool     // a table without it cannot be read
	Many      bool     // may come several times
	Spellings []string // other headings it goes by, letters and digits in lower case
	About     string   // in the words of help
}

// A Kind is a table that can be read, with what its lines are.
type Kind struct {
	Name    string
	About   string
	Columns []Column
}

// The names of the tables that can be read.
const (
	Gauges       = "gauges"
	Standards    = "standards"
	Certificates = "certificates"
	Checks       = "checks"
	Lots         = "lots"
	Surveys      = "surveys"
)

// kinds lists them in the order in which one rests on another. The spellings
// are a house rule: headings that mean this column and no other.
var kinds = []Kind{
	{Standards, "what gauges are checked against, one a line", []Column{
		{Name: "standard", Wanted: true, Spellings: identitySpellings, About: "identity"},
		{Name: "kind", Wanted: true, Spellings: []string{"category", "standardkind"}, About: "of standard"},
		{Name: "description", Spellings: descriptionSpellings},
		{Name: "maker", Spellings: makerSpellings},
		{Name: "serial", Spellings: serialSpellings, About: "number"},
		{Name: "grade", Spellings: []string{"class", "accuracyclass", "accuracygrade"}, About: "of blocks, class of weights"},
		{Name: "material", About: "whose expansion it has"},
		{Name: "expansion", Spellings: expansionSpellings, About: "coefficient, as 11.5 ppm/°C"},
		{Name: "expansion_half_width", About: "bound of its error"},
		{Name: "density", About: "of weights"},
		{Name: "density_half_width", About: "bound of its error"},
		{Name: "resolution", About: "one step of an instrument that is read"},
		{Name: "interval", Spellings: intervalSpellings, About: "months from certificate to certificate"},
		{Name: "place", Spellings: placeSpellings},
		{Name: "owner", Spellings: ownerSpellings},
	}},
	{Certificates, "certificates of standards, one value a line; lines of one standard and number are one certificate", []Column{
		{Name: "standard", Wanted: true, Spellings: identitySpellings, About: "identity"},
		{Name: "number", Wanted: true, Spellings: []string{"certificate", "certificateno", "certificatenumber", "certno", "certnumber", "reportno", "reportnumber"}, About: "of the certificate"},
		{Name: "laboratory", Wanted: true, Spellings: []string{"lab", "issuedby", "calibratedby", "calibrationlab", "calibrationlaboratory"}},
		{Name: "route", Wanted: true, Spellings: []string{"traceability", "routetothesi"}, About: "to the SI"},
		{Name: "date", Wanted: true, Spellings: []string{"calibrationdate", "dateofcalibration", "certificatedate", "caldate", "calibrated"}, About: "of the calibration"},
		{Name: "due", Spellings: []string{"duedate", "nextdue", "calibrationdue", "caldue", "validuntil", "validto"}, About: "after which it does not count"},
		{Name: "accreditation", Spellings: []string{"accreditationno", "accreditationnumber"}},
		{Name: "remarks", Spellings: remarksSpellings},
		{Name: "nominal", Spellings: []string{"nominalsize", "nominalvalue", "nominallength", "size"}, About: "of one value"},
		{Name: "nominal_unit", About: "of nominal and value that carry none"},
		{Name: "deviation", Spellings: []string{"deviationfromnominal", "error"}, About: "from it"},
		{Name: "unit", Spellings: []string{"units", "deviationunit"}, About: "of deviation and expanded that carry none"},
		{Name: "value", Spellings: []string{"actual", "actualvalue", "length", "mass", "measuredvalue"}, About: "in its place"},
		{Name: "expanded", Spellings: []string{"u", "expandeduncertainty", "uncertainty"}, About: "uncertainty"},
		{Name: "k", Spellings: []string{"coveragefactor", "factork"}},
		{Name: "dof", Spellings: []string{"degreesoffreedom"}},
		{Name: "grade", Spellings: []string{"class"}, About: "of the block or weight"},
		{Name: "serial", Spellings: []string{"mark", "blockserial", "blockno", "blocknumber"}, About: "of the block, mark of the weight"},
		{Name: "area", Spellings: []string{"effectivearea"}, About: "of a pressure tester's piston"},
		{Name: "area_expanded"}, {Name: "area_k"}, {Name: "distortion"}, {Name: "piston_expansion"}, {Name: "carrier"},
		{Name: "carrier_expanded"}, {Name: "head"}, {Name: "head_half_width"}, {Name: "fluid"}, {Name: "fluid_half_width"},
		{Name: "distortion_expanded"}, {Name: "piston_expansion_expanded"}, {Name: "tension"}, {Name: "tension_half_width"},
	}},
	{Gauges, "the measuring instruments, one a line", []Column{
		{Name: "gauge", Wanted: true, Spellings: identitySpellings, About: "identity"},
		{Name: "kind", Wanted: true, Spellings: []string{"category", "gaugekind", "gagekind", "instrumentkind", "instrumenttype", "gaugetype", "gagetype", "typeofgauge", "typeofgage", "kindofgauge"}, About: "of gauge"},
		{Name: "description", Spellings: descriptionSpellings},
		{Name: "maker", Spellings: makerSpellings},
		{Name: "type", Spellings: []string{"model", "modelno", "modelnumber", "typeno"}, About: "the maker's"},
		{Name: "serial", Spellings: serialSpellings, About: "number"},
		{Name: "software", Spellings: []string{"firmware", "softwareversion", "firmwareversion"}},
		{Name: "range", Spellings: []string{"measuringrange", "measurementrange", "rangeofmeasurement"}, About: "as 0..25, 0-25 or 0 to 25 mm"},
		{Name: "low", Spellings: []string{"rangelow", "rangefrom", "rangemin", "lowerrange", "from"}, About: "end of the range, where it has columns of its own"},
		{Name: "high", Spellings: []string{"rangehigh", "rangeto", "rangemax", "upperrange", "to"}, About: "end of the range"},
		{Name: "resolution", Spellings: []string{"scaleinterval", "graduation", "division", "step", "readability"}, About: "one step"},
		{Name: "unit", Spellings: []string{"units", "unitofmeasure", "uom"}, About: "it is read in; a length gauge's, else the house's"},
		{Name: "plan", Spellings: []string{"checkplan", "calibrationplan"}, About: "by which it is checked"},
		{Name: "interval", Spellings: intervalSpellings, About: "months from check to check"},
		{Name: "interval_uses", Spellings: []string{"usesbetweenchecks", "intervalinuses"}, About: "from check to check, where it is due by its uses too"},
		{Name: "intermediate", Spellings: []string{"intermediateinterval", "intermediatemonths"}, About: "months to an intermediate check"},
		{Name: "due_agreed", About: "yes where its owner agreed to a due date on certificates"},
		{Name: "material", About: "whose expansion it has"},
		{Name: "expansion", Spellings: expansionSpellings, About: "coefficient, as 11.5 ppm/°C"},
		{Name: "expansion_half_width", About: "bound of its error"},
		{Name: "flatness", About: "of the measuring faces"},
		{Name: "parallelism", About: "of the measuring faces"},
		{Name: "foot_diameter", About: "of a thickness gauge"},
		{Name: "foot_area", About: "of a foot that is not round"},
		{Name: "foot_expanded", About: "uncertainty of either, k = 2"},
		{Name: "seal"},
		{Name: "place", Spellings: placeSpellings},
		{Name: "owner", Spellings: ownerSpellings},
		{Name: "status", Spellings: []string{"state"}, About: "of a new gauge; in service if left out"},
		{Name: "status_since", About: "its date"},
		{Name: "status_reason", About: "why it has it"},
		{Name: "last_check", Spellings: []string{"lastchecked", "lastcalibration", "lastcalibrated", "calibrated", "calibrationdate", "lastcal", "caldate", "datelastcalibrated"}, About: "date of the last check elsewhere; the due date counts from it"},
		{Name: "last_verdict", Spellings: []string{"lastresult", "result", "verdict", "passfail"}, About: "of it: pass or fail"},
		{Name: "last_certificate", Spellings: []string{"certificate", "certificateno", "certificatenumber", "certno", "lastcertificate"}, About: "of it"},
	}},
	{Checks, "past checks with their readings, one point, or one direction of a part beside length, a line; lines of one gauge, date, stage and purpose are one check", []Column{
		{Name: "gauge", Wanted: true, Spellings: identitySpellings, About: "identity"},
		{Name: "date", Wanted: true, Spellings: []string{"checkdate", "dateofcheck", "checked", "calibrationdate", "calibrated"}, About: "of the check"},
		{Name: "check", Spellings: []string{"checkno", "checknumber", "checkid"}, About: "anything that tells two of one day apart"},
		{Name: "plan", Spellings: []string{"checkplan"}, About: "followed; else the gauge's"},
		{Name: "person", Spellings: []string{"by", "checkedby", "inspector", "performedby", "operator"}, About: "who made it; else who imports"},
		{Name: "stage", About: "as found (if left out) or as left"},
		{Name: "purpose", About: "full (if left out) or intermediate"},
		{Name: "standards", Spellings: []string{"standard", "standardsused", "masters"}, About: "used, joined by +"},
		{Name: "temperature", Spellings: []string{"temp", "roomtemperature"}, About: "of gauge and blocks, °C"},
		{Name: "block_temperature", Spellings: []string{"blockstemperature"}, About: "of the blocks, °C"},
		{Name: "humidity", About: "in per cent"},
		{Name: "pressure", Spellings: []string{"airpressure"}, About: "of the air, with its unit"},
		{Name: "condition", About: "of the gauge as it came"},
		{Name: "received", Spellings: []string{"datereceived", "receivedon"}, About: "when the gauge came"},
		{Name: "site", About: "where it was made, if not in the house"},
		{Name: "remarks", Spellings: remarksSpellings},
		{Name: "part", About: "of the gauge: length (if left out), foot, force or load"},
		{Name: "at", Wanted: true, Spellings: []string{"point", "nominal", "size", "nominalsize", "opening", "load"}, About: "the point, opening or load, or the word zero, or diameter of a foot"},
		{Name: "direction", About: "lowering or lifting a foot, in or out, up or down, before or after"},
		{Name: "blocks", Spellings: []string{"stack"}, About: "of its stack, joined by +; else proposed"},
		{Name: "weights", About: "of its load, joined by +; else proposed"},
		{Name: "instrument", Spellings: []string{"tester", "readby"}, About: "of a foot, force or diameter, tester of a pressure; else the only one of its kind"},
		{Name: "reading", Wanted: true, Many: true, Spellings: []string{"readings", "indication", "measured", "measuredvalue", "actual"}, About: "as typed; as many columns as there were readings"},
		{Name: "comment", About: "on the point"},
		{Name: "skipped", About: "why the place was left out; then it has no reading"},
	}},
	{Lots, "deliveries whose thickness is agreed, one a line", []Column{
		{Name: "lot", Wanted: true, Spellings: []string{"lotno", "lotnumber", "batch", "batchno", "batchnumber", "delivery", "deliveryno"}, About: "identity"},
		{Name: "material", Wanted: true, Spellings: []string{"article", "goods"}, About: "it is of"},
		{Name: "supplier", Spellings: []string{"vendor", "from"}},
		{Name: "form", About: "sheet (if left out) or roll"},
		{Name: "width", About: "across, mm without a unit"},
		{Name: "length", About: "along, mm without a unit"},
		{Name: "unit", About: "of the tolerances; the house's if left out"},
		{Name: "mean_low", About: "lower limit of the lot's mean"}, {Name: "mean_high", About: "upper limit"},
		{Name: "place_low", Spellings: []string{"low", "lowerlimit", "min"}, About: "lower limit of every place"}, {Name: "place_high", Spellings: []string{"high", "upperlimit", "max"}, About: "upper limit"},
		{Name: "rule", About: "of decision that was agreed; the house's if left out"},
		{Name: "guard_factor", About: "with a guarded rule"},
		{Name: "risk", About: "of false acceptance, with the rule by risk"},
		{Name: "method", About: "that was agreed"},
		{Name: "remarks", Spellings: remarksSpellings},
	}},
	{Surveys, "surveys of lots with their readings, one place a line; lines of one lot, date and gauge are one survey", []Column{
		{Name: "lot", Wanted: true, Spellings: []string{"lotno", "lotnumber", "batch", "batchno", "batchnumber"}, About: "identity"},
		{Name: "date", Wanted: true, Spellings: []string{"surveydate", "measured"}, About: "of the survey"},
		{Name: "survey", Spellings: []string{"surveyno", "surveynumber"}, About: "anything that tells two of one day apart"},
		{Name: "gauge", Wanted: true, Spellings: []string{"gage", "gaugeid", "gageid", "instrument"}, About: "it was taken with"},
		{Name: "method", About: "followed; else the lot's"},
		{Name: "person", Spellings: []string{"by", "inspector", "operator"}, About: "who took it; else who imports"},
		{Name: "grid", About: "columns across x rows along, as 3x5"},
		{Name: "temperature", Spellings: []string{"temp", "roomtemperature"}, About: "of the room, °C"},
		{Name: "humidity", About: "in per cent"},
		{Name: "pressure", Spellings: []string{"airpressure"}, About: "of the air, with its unit"},
		{Name: "wanted", About: "uncertainty of the mean"},
		{Name: "share", About: "of the tolerance interval"}, {Name: "confidence", About: "of it"},
		{Name: "override", About: "why a gauge was used that was not fit"},
		{Name: "remarks", Spellings: remarksSpellings},
		{Name: "at", Spellings: []string{"place", "point", "spot"}, About: "the place's name or cell, or the word zero"},
		{Name: "across", About: "from the left edge, mm"}, {Name: "along", About: "from the beginning, mm"},
		{Name: "under", About: "pressure of a step of a compression run, with its unit; its line has one reading"},
		{Name: "reading", Wanted: true, Many: true, Spellings: []string{"readings", "thickness", "indication"}, About: "as typed; as many columns as there were readings"},
		{Name: "undwelt", About: "numbers of the readings before which the dwell was not counted"},
		{Name: "comment", About: "on the place"},
		{Name: "effect_change", About: "of thickness with pressure, as somebody states it"}, {Name: "effect_for", About: "a change of pressure by this"},
		{Name: "effect_expanded", About: "uncertainty of it"}, {Name: "effect_k"}, {Name: "effect_source", About: "who says so"},
	}},
}

var (
	identitySpellings = []string{"id", "identity", "identification", "idno", "idnumber", "assetno", "assetnumber", "assetid", "asset", "inventoryno", "inventorynumber",
		"equipmentid", "equipmentno", "instrumentid", "instrumentno", "toolno", "toolnumber", "gaugeid", "gaugeno", "gaugenumber", "gageid", "gageno", "gagenumber", "gage",
		"standardid", "standardno"}
	descriptionSpellings = []string{"designation", "itemdescription", "title"}
	makerSpellings       = []string{"manufacturer", "make", "brand", "mfr"}
	serialSpellings      = []string{"serialno", "serialnumber", "sn", "serialnr"}
	expansionSpellings   = []string{"expansioncoefficient", "coefficientofexpansion", "cte"}
	intervalSpellings    = []string{"intervalmonths", "intervalinmonths", "calibrationinterval", "checkinterval", "calinterval", "frequencymonths"}
	placeSpellings       = []string{"location", "storage", "storagelocation", "department"}
	ownerSpellings       = []string{"ownedby", "customer"}
	remarksSpellings     = []string{"remark", "notes", "note", "comments"}
)
