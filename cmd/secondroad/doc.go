// Package secondroad holds tests only: an independent examiner of the keys.
//
// The tests draw forms of the shipped course and of wider courses of their
// own, write them as assessment workbooks, and from there on see nothing but
// the HTML, as an apprentice sees nothing but the page. They read the givens,
// the loop tables and the needles off that page, work every exercise by
// formulas of their own, and only then open the key and compare.
//
// What makes the road a second one:
//   - No formula is shared with the families. Neither their packages nor the
//     formula tree compute anything here; numbers are float64, read from text.
//   - Scaling has no formula for the answer at all: one picture of the loop is
//     written forwards (position of the measured value, then what each
//     instrument shows), and the position is searched by halving until the
//     instrument shows what is given. No root is ever taken, flow is squared.
//   - A needle is read twice, by counting the marks that are drawn up to it,
//     and from the words for readers who cannot see it; errors and outputs go
//     by the volts over 250 ohm, never by percent times span.
//   - Choices are made from the words of the options, not from their ids.
//   - Live-zero signals have one constant each, the upper end; the lower end is
//     a fifth of it.
//
// The same pages are worked by simulated apprentices who make one known slip
// each, built from the sentence that the key would say to them.
//
// Limits: the tests know the wording of the prompts and the marks of the page
// (classes of elements), so rewording either may need a change here; a reader
// of pictures this strict says nothing about how well a human eye reads them.
package secondroad
