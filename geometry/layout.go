package geometry

// Layout is one frame's worth of stations.
type Layout struct {
	Web    Web
	Label  Size    // trim of the label after the turn; of the widest where lanes differ
	Area   float64 // mm2, of one label; the mean of all where lanes differ
	Turn   Turn    // of the first station; see the stations for the others
	Across int     // lanes
	Around int     // rows
	Gap    Size    // real gaps; around to the nearest nanometre
	Bleed  Length  // wanted; the stations' Clip says what there is room for
	Repeat Length
	Tail   Length // part of the repeat that holds no row, where a tool's reach is shorter
	Block  Box    // of all trims
	// Widths are the labels' widths across by lane, where lanes differ; nil where
	// all are Label.Across.
	Widths []Length
	// Shaped says that each station is clipped along the label's outline, grown
	// by Station.Room, and not to the box Clip, which may reach over neighbours.
	Shaped  bool
	Station []Station
}

// Station is one place where one label stands.
type Station struct {
	Lane int // from the web's left edge, first is 1
	Row  int // from the frame's leading end, first is 1
	Turn Turn
	Trim Box
	Clip Box // trim with bleed, cut at the middle of each gap
}

// Labels returns the stations' number.
func (l *Layout) Labels() int { return len(l.Station) }

// BleedClipped reports whether the gaps leave less bleed than was wanted, and
// how much they leave across and around.
func (l *Layout) BleedClipped() (Size, bool) {
	room := Size{l.Bleed, min(l.Bleed, l.Gap.Around/2)}
	if l.Across > 1 {
		room.Across = min(l.Bleed, l.Gap.Across/2)
	}
	return room, room.Across < l.Bleed || room.Around < l.Bleed
}

// grid lays lanes and rows. The rows start at half a gap, each computed from the
// whole repeat, never by adding up a rounded pitch.
func (l *Layout) grid(shift Length) {
	left := (l.Web.Width-l.blockWidth())/2 + shift
	used := l.Repeat - l.Tail
	room, _ := l.BleedClipped()
	l.Station = make([]Station, 0, l.Across*l.Around)
	for row := 1; row <= l.Around; row++ {
		at := Position{left, rowStart(row, l.Around, used, l.Label.Around)}
		for lane := 1; lane <= l.Across; lane++ {
			trim := BoxAt(at, Size{l.LaneWidth(lane), l.Label.Around})
			at.Across = trim.Max.Across + l.Gap.Across
			clip := trim.outset(room)
			// The outermost bleeds have no neighbour to share a gap with.
			if lane == 1 {
				clip.Min.Across = trim.Min.Across - l.Bleed
			}
			if lane == l.Across {
				clip.Max.Across = trim.Max.Across + l.Bleed
			}
			l.Station = append(l.Station, Station{lane, row, l.Turn, trim, clip})
			l.Block = l.Block.Union(trim)
		}
	}
}

// rowStart gives where the row's trim begins: half a gap into its share of the
// ring, ((2 row - 1) used - n label) / 2n.
func rowStart(row, n int, used, label Length) Length {
	return (Length(2*row-1)*used - Length(n)*label) / Length(2*n)
}

func (b Box) outset(s Size) Box {
	return Box{
		Position{b.Min.Across - s.Across, b.Min.Around - s.Around},
		Position{b.Max.Across + s.Across, b.Max.Around + s.Around},
	}
}
