// Package budgetfile reads an uncertainty budget from a TOML file.
//
// It knows the keys of the file, which of them each distribution wants, and what their values may be.
// It refuses to know how a budget is evaluated, and it opens no file itself.
//
// The form, version 1 (a later one would carry a key "version"; unknown keys are refused, so an older
// program never misreads a newer file):
//
//	quantity = "error of indication at 150 mm"
//	unit = "um"
//	probability = 0.95               # 0.95 if left out
//	model = "a - b*c"                # a formula over the names; left out: the sum of sensitivity × input
//
//	[[input]]
//	name = "block"                   # differs from all others
//	value = 0.0                      # best estimate; 0 if left out, but wanted where there is a model
//	distribution = "rectangular"     # normal, t, rectangular, triangular, trapezoidal, arcsine, curvilinear
//	half_width = 0.8                 # all but normal and t
//	beta = 0.33                      # trapezoidal: half-width of the top over that of the base
//	inexact = 0.1                    # curvilinear: half-width of each limit's own uncertainty
//	u = 1.0                          # normal: standard uncertainty; t: scale, with dof
//	expanded = 2.0                   # normal: with k
//	k = 2.0
//	readings = [1.0, 1.1, 0.9]       # type A, without a distribution or with "t"
//	pooled_s = 25.0                  # type A with n and dof; or with readings, whose number is then n
//	n = 3
//	dof = 8                          # infinite if left out; or
//	unreliability = 0.25             # which gives dof by JCGM 100:2008, G.3
//	sensitivity = -1.0               # 1 if left out; not with a model
//	source = "certificate 4711"      # shown in the table
//
//	[[correlation]]
//	between = ["x1", "x2"]
//	r = 0.9
package budgetfile
