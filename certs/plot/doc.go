// Package plot describes one plot of measured points and composes it into
// plain shapes, so that it is drawn once for every rendering.
//
// It knows axes with units, bands, limit lines, points with bars, nice ticks,
// scaling, clipping and where the legend goes.
// It refuses to know what the numbers mean, whether a point conforms, and any
// drawing library: it asks the rendering how wide a text is and hands back
// lines, areas, marks and texts in millimetres.
//
// A rendering walks [Picture.Shapes] in order and draws each one; nothing else
// is left to decide but colours and line widths.
package plot
