package main

// needs lists, for a command, options that say nothing without one of others,
// so that none is ignored.
var needs = map[string]map[string][]string{
	"wring lookback": {"since": {"open"}, "until": {"open"}, "informed": {"decide"}, "informed-on": {"decide"}, "entry": {"decide"}, "reason": {"open", "decide"}},
	"wring release":  {"reason": {"require"}},
	"wring validate": {"paper": {"out"}, "replace": {"out"}},
	"wring history":  {"paper": {"pdf"}, "replace": {"pdf"}},
	"wring trace":    {"paper": {"pdf"}, "replace": {"pdf"}},
	"wring compare":  {"paper": {"pdf"}, "replace": {"pdf"}},
	"wring survey":   {"paper": {"pdf"}, "replace": {"pdf", "svg"}},

	"wring study plan": {"replace": {"out"}},
	"wring study show": {"paper": {"pdf"}, "replace": {"pdf"}},

	"wring report due":    {"paper": {"pdf"}, "replace": {"pdf", "html"}},
	"wring report fleet":  {"paper": {"pdf"}, "replace": {"pdf", "html"}},
	"wring report gauge":  {"paper": {"pdf"}, "replace": {"pdf", "html"}},
	"wring report lot":    {"paper": {"pdf"}, "replace": {"pdf", "html"}},
	"wring report bundle": {"paper": {"pdf"}, "replace": {"pdf", "html"}},
}

// excludes lists, for a command, options beside which others say nothing.
var excludes = map[string]map[string][]string{
	"wring release":        {"require": {"note"}},
	"wring certificate":    {"plot": {"out", "paper", "customer", "data", "replace"}},
	"wring restore":        {"check-only": {"replace"}},
	"wring verify":         {"chain": {"rebuild"}},
	"wring gauge add":      {"material": {"expansion", "expansion-half-width"}, "foot-area": {"foot-diameter"}},
	"wring gauge amend":    {"material": {"expansion", "expansion-half-width"}, "foot-area": {"foot-diameter"}},
	"wring standard add":   {"material": {"expansion", "expansion-half-width"}},
	"wring standard amend": {"material": {"expansion", "expansion-half-width"}},

	"wring plan show":   {"preset": {"revision"}},
	"wring method show": {"preset": {"revision"}},
	"wring survey": {
		"show":  {"sheet", "method", "gauge", "grid", "date", "temperature", "humidity", "compression", "wanted", "share", "confidence", "override", "remarks", "no-dwell", "show-only"},
		"sheet": {"no-dwell"},
	},
}
