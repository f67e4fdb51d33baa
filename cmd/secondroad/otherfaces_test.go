package secondroad

import "testing"

// TestOtherFaces works the wide course with checkers whose needle is more
// sensitive. Keys and slips must follow the face.
func TestOtherFaces(t *testing.T) {
	forms := 20
	if raceEnabled {
		forms = 2
	}
	for _, face := range []string{
		"{divisions: 10, small_marks: 5, per_division: 0.25 %span}",
		"{divisions: 10, small_marks: 5, per_division: 0.4 %span}",
	} {
		t.Run(face, func(t *testing.T) {
			t.Parallel()
			c, err := prepare("wide with another face", wideFiles("checker: {id: NB-7, movement: "+face+"}", widePlant))
			if err != nil {
				t.Fatal(err)
			}
			b := newBook(t, c, 1, forms)
			sheets, err := readSheets(b.html)
			if err != nil {
				t.Fatal(err)
			}
			slips := map[seen]*landing{}
			for _, s := range sheets {
				k := b.keys[s.num-1]
				mine, err := s.work()
				if err != nil {
					t.Errorf("%s: %v", k.where(b.course), err)
					continue
				}
				for _, o := range append(objections(s, mine, k.item.Key), apprentices(s, k, mine, slips)...) {
					t.Errorf("%s: %s", k.where(b.course), o)
				}
			}
			if len(slips) < 50 {
				t.Errorf("only %d slips met", len(slips))
			}
		})
	}
}

// TestFacesThatAreRefused: faces that the sentences, the decimals or the chart
// of the exercises do not fit cannot be used.
func TestFacesThatAreRefused(t *testing.T) {
	for _, face := range []string{
		"{divisions: 8, small_marks: 4, per_division: 0.8 %span}",
		"{divisions: 10, small_marks: 5, per_division: 1 %span}",
		"{divisions: 12, small_marks: 2, per_division: 0.5 %span}",
	} {
		if _, err := prepare("wide with another face", wideFiles("checker: {id: NB-7, movement: "+face+"}", widePlant)); err == nil {
			t.Errorf("%s: no finding", face)
		}
	}
}
