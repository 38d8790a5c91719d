package main

// needs lists, for a command, options that say nothing without one of others,
// so that none is ignored.
var needs = map[string]map[string][]string{
	"wring lookback": {"since": {"open"}, "until": {"open"}, "informed": {"decide"}, "reason": {"open", "decide"}},
	"wring release":  {"reason": {"require"}},
	"wring validate": {"paper": {"out"}, "replace": {"out"}},
	"wring history":  {"paper": {"pdf"}, "replace": {"pdf"}},
}

// excludes lists, for a command, options that say nothing beside another.
var excludes = map[string]map[string]string{
	"wring release":   {"note": "require"},
	"wring plan show": {"revision": "preset"},
}
