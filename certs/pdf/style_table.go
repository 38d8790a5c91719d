package pdf

// The styles of the page (house rules, chosen by eye at 100 dpi and at arm's
// length).
var (
	titleStyle   = style{bold, 20, petrol}
	subjectStyle = style{regular, 11, black}
	houseStyle   = style{bold, 10.5, black}
	addressStyle = style{regular, 8, grey}
	numberStyle  = style{bold, 12, black}
	labelStyle   = style{regular, 8, grey}
	partStyle    = style{bold, 8.8, petrol}
	bodyStyle    = style{regular, 8.6, black}
	textStyle    = style{regular, 8, black}
	wordStyle    = style{bold, 15, black}
	noteStyle    = style{regular, 7.6, grey}
	footStyle    = style{regular, 7, grey}
	footBold     = style{bold, 7.6, black}
	headStyle    = style{mono, 6, grey}
	runningStyle = style{bold, 8.6, petrol}
	endStyle     = style{bold, 7.6, petrol}

	tickStyle   = style{regular, 7.2, black}
	axisStyle   = style{regular, 7.6, black}
	legendStyle = style{regular, 7.6, black}
)

// cellSizes are the sizes a table tries, in points, from the usual one to the
// least that is still read without a glass.
var cellSizes = [...]float64{8.4, 7.8, 7.2, 6.6, 6.0}

// moduleSizes are the widths up to which a code's modules are tried, mm: the
// largest that leaves the texts comfortable is taken.
var moduleSizes = [...]float64{mostModule, 0.5, smallModule}
