package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// A station is one place of a check: what is asked for there, and what is said.
// A function that is nil has nothing to say or to object.
type station struct {
	title func() string             // before the first question
	ask   func(n int) string        // the question after n answers
	offer string                    // taken for a mere Enter
	want  int                       // answers; 0 for a place that only says its title
	got   *[]sheet.Field            // those that were given
	look  func(typed string) error  // why it is no answer
	doubt func(typed string) string // why it may be a slip
	sum   func() string             // after the last answer

	// Of a place of the plan: its part and where; what takes others than the
	// proposed blocks or weights.
	part calib.Part
	name string // "2.5 mm", "zero"
	at   unit.Quantity
	with func(stack string) error
}

// errBack is returned where something is taken back and there is nothing of the
// station's own.
var errBack = errors.New("nothing to take back")

// errAgain is returned where a place is to be taken again and the one before is
// meant.
var errAgain = errors.New("nothing to take again")

// walk asks at one station after the other, from one on.
func (l *leader) walk(list []station, from int) error {
	for i := from; i < len(list); {
		err := l.visit(&list[i])
		switch {
		case errors.Is(err, errBack):
			i = l.back(list, i, func(s *station) { l.takeBack(s) })
		case errors.Is(err, errAgain):
			i = l.back(list, i, l.again)
		case err != nil:
			return err
		default:
			i++
			continue
		}
		if err := l.save(); err != nil {
			return err
		}
	}
	return nil
}

// back goes to the last station before i that has an answer, undoes there, and
// returns its number; where there is none it says so.
func (l *leader) back(list []station, i int, undo func(*station)) int {
	for j := i - 1; j >= 0; j-- {
		if s := &list[j]; l.leftOut(s) {
			l.taken.Skipped = slices.DeleteFunc(l.taken.Skipped, func(r sheet.SkipRow) bool { return s.is(r) })
			l.say("  %s is taken after all", s.at)
			return j
		} else if s.want > 0 && len(*s.got) > 0 {
			undo(s)
			return j
		}
	}
	l.say("  nothing to take back")
	return i
}

// visit asks until a station has all it wants.
func (l *leader) visit(s *station) error {
	if l.leftOut(s) || s.want > 0 && len(*s.got) >= s.want {
		return nil
	}
	if s.title != nil {
		if text := s.title(); text != "" {
			l.paragraph(text)
		}
	}
	for len(*s.got) < s.want {
		typed, err := l.next(s)
		if err == nil {
			err = l.obey(s, typed)
		}
		if err != nil {
			return err
		}
		if l.leftOut(s) {
			return nil
		}
	}
	if s.sum != nil {
		if text := s.sum(); text != "" {
			l.paragraph("  " + text)
		}
	}
	return nil
}

// next is what was typed last when the check was broken off, else what is typed
// now.
func (l *leader) next(s *station) (string, error) {
	if typed := l.left.Pending; typed != "" {
		l.say("%s %s", s.ask(len(*s.got)), typed)
		return typed, nil
	}
	return l.askOr(s.ask(len(*s.got)), s.offer)
}

// obey does what a letter asks for, or takes an answer.
func (l *leader) obey(s *station, typed string) error {
	word, rest, _ := strings.Cut(typed, " ")
	rest = strings.TrimSpace(rest)
	place := s.part != ""
	switch word = strings.ToLower(word); {
	case word == "u" && rest == "":
		if len(*s.got) == 0 {
			return errBack
		}
		l.takeBack(s)
	case word == "r" && rest == "" && place:
		if len(*s.got) == 0 {
			return errAgain
		}
		l.again(s)
	case word == "s" && place:
		return l.leaveOut(s, rest)
	case word == "c" && place:
		l.remark(s, rest)
	case word == "w" && place:
		if s.with == nil {
			l.say("  no blocks or weights here")
		} else if err := s.with(rest); err != nil {
			l.paragraph("  " + err.Error())
		} else {
			l.paragraph(s.title())
		}
	default:
		return l.accept(s, typed)
	}
	return l.save()
}

// takeBack drops the last answer of a station that has one. What was noted on it
// goes to the reading that comes in its place.
func (l *leader) takeBack(s *station) {
	last := (*s.got)[len(*s.got)-1]
	l.say("  %s taken back", last.Text)
	l.left.Carry = clipped(joined(l.left.Carry, last.Comment))
	*s.got = (*s.got)[:len(*s.got)-1]
}

// again drops all answers of a station. What was read is kept in the comment on
// the reading that comes in their place.
func (l *leader) again(s *station) {
	if s.part != "" {
		var read []string
		for _, f := range *s.got {
			read = append(read, f.Text)
		}
		l.left.Carry = "taken again, after " + strings.Join(read, ", ")
		l.say("  %s again; the readings so far are kept as a comment", s.at)
	}
	*s.got = nil
}

// remark puts a comment on the reading that was taken last, be it at the place
// before; where there is none, on the next.
func (l *leader) remark(s *station, text string) {
	into, where := &l.left.Carry, "on the next reading"
	if len(*s.got) == 0 && l.latest != nil && len(*l.latest.got) > 0 {
		s = l.latest
	}
	if n := len(*s.got); n > 0 {
		into, where = &(*s.got)[n-1].Comment, fmt.Sprintf("on %s, the reading %s", s.name, (*s.got)[n-1].Text)
	}
	switch {
	case text == "":
		l.say("  want the comment behind the c")
	case !fits(*into, text):
		l.say("  want a comment of at most %d characters in one line", mostComment)
	default:
		*into = joined(*into, text)
		l.say("  noted %s", where)
	}
}

// mostComment is how many characters a reading's comment may have, as
// [calib.Reading] says.
const mostComment = 200

func joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// fits reports whether a text can be added to a comment.
func fits(before, text string) bool {
	return utf8.RuneCountInString(joined(before, text)) <= mostComment && utf8.ValidString(text) && !strings.ContainsFunc(text, unicode.IsControl)
}

// clipped keeps what the program itself adds to a comment within its bound.
func clipped(text string) string {
	if r := []rune(text); len(r) > mostComment {
		return string(r[:mostComment-1]) + "…"
	}
	return text
}

// leaveOut skips a place of the plan, with the reason.
func (l *leader) leaveOut(s *station, why string) error {
	if s.at.IsZero() {
		l.say("  the zero cannot be left out")
		return nil
	}
	if l.p.plan.Gates[calib.GatePoints] == calib.Stop {
		l.say("  plan %s stops a check that lacks a place; q leaves it for later", l.p.plan.Name)
		return nil
	}
	for why == "" || !fits("", why) {
		var err error
		if why, err = l.ask(fmt.Sprintf("  why is %s left out?", s.at)); err != nil {
			return err
		}
		if strings.EqualFold(why, "u") {
			return nil
		}
	}
	l.taken.Skipped = append(l.taken.Skipped, sheet.SkipRow{Part: typedField(string(s.part)), At: typedField(s.at.String()), Reason: typedField(why)})
	l.say("  %s left out: %s", s.at, why)
	return l.save()
}

func (s *station) is(r sheet.SkipRow) bool {
	return string(s.part) == r.Part.Text && s.at.String() == r.At.Text
}

func (l *leader) leftOut(s *station) bool {
	return s.part != "" && slices.ContainsFunc(l.taken.Skipped, s.is)
}

// accept looks at an answer and takes it. One that may be a slip is asked about
// once, and kept whatever is said: as a reading with the reason, or in the
// comment on the one that takes its place.
func (l *leader) accept(s *station, typed string) error {
	if err := s.look(typed); err != nil {
		l.left.Pending = ""
		l.paragraph("  " + err.Error())
		return nil
	}
	comment := ""
	if s.doubt != nil {
		shifted := l.shifted // before anybody owned that it moved
		if why := s.doubt(typed); why != "" {
			l.left.Pending = typed
			if err := l.save(); err != nil {
				return err
			}
			var err error
			if typed, comment, err = l.settle(s, typed, why, shifted); err != nil {
				return err
			}
			l.left.Pending = ""
		}
	}
	if typed == "" {
		l.left.Carry = clipped(joined(l.left.Carry, comment))
		return l.save()
	}
	*s.got = append(*s.got, sheet.Field{Text: typed, Comment: clipped(joined(l.left.Carry, comment))})
	l.left.Carry = ""
	if s.part != "" {
		l.latest = s
	}
	return l.save()
}

// settle asks about a reading that may be a slip, and returns the reading to
// take, none where it is taken back, and what to note on it. Another reading in
// its place is asked about once more where it may be a slip too. The error has
// moved by as much as before where none of those that were doubted is taken.
func (l *leader) settle(s *station, typed, why string, before float64) (reading, comment string, err error) {
	l.paragraph("  " + why)
	for earlier := ""; ; {
		said, err := l.ask("  read it again and type that; or type why it is so:")
		if err != nil {
			return "", "", err
		}
		first, _ := utf8.DecodeRuneInString(said)
		switch {
		case strings.EqualFold(said, "u"):
			l.say("  %s taken back", typed)
			l.shifted = before
			return "", "first typed " + listed(earlier, typed), nil
		case !unicode.IsLetter(first):
			if err := s.look(said); err != nil {
				l.paragraph("  " + err.Error())
				continue
			}
			if said == typed {
				return said, joined(firstRead(earlier), "read twice"), nil
			}
			l.shifted = before
			if again := s.doubt(said); earlier == "" && again != "" {
				earlier, typed = typed, said
				l.paragraph("  " + again)
				continue
			}
			return said, firstRead(listed(earlier, typed)), nil
		case utf8.RuneCountInString(said) < 4 || slices.Contains([]string{"okay", "true", "keep"}, strings.ToLower(said)):
			l.say("  want why, in words, as \"burr on the anvil\"")
		case !fits(firstRead(earlier), said):
			l.say("  want a reason of at most %d characters in one line", mostComment)
		default:
			return typed, joined(firstRead(earlier), said), nil
		}
	}
}

func listed(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

func firstRead(text string) string {
	if text == "" {
		return ""
	}
	return "first read " + text
}

// readingPrompt asks for a reading and says how it stands so far.
func readingPrompt(name string, n, of int, sofar string) string {
	if sofar != "" {
		sofar = " (" + sofar + ")"
	}
	return fmt.Sprintf("  %s, reading %d of %d%s:", name, n+1, of, sofar)
}
