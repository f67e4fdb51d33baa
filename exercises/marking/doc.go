// Package marking judges answers as they were typed: one answer against one
// question, and a whole exercise with errors carried forward.
//
// For most uses call [MarkItem] with a drawn exercise and what was typed into
// its boxes; [Judge] judges a single answer. What a person should decide comes
// back as a [Query] with the readings it could have, never as wrong. Nothing
// typed is ever evaluated, and no number passes through floating point.
//
// The rules are numbered M1 to M14; [Rule] names the one that decided. The
// closed tolerance without rounding first is the absolute method of ASTM E29.
// The same question and text give the same result, whatever spaces stand
// around the text.
package marking

import "math/big"

// Verdict is what an answer is.
type Verdict string

// The verdicts, as they stand in files; [Verdict.Words] is for pages.
const (
	Correct       Verdict = "CORRECT"
	Wrong         Verdict = "WRONG"
	WrongUnit     Verdict = "WRONG_UNIT"
	UnitMissing   Verdict = "UNIT_MISSING"
	Figures       Verdict = "SF" // too few or too many
	FollowThrough Verdict = "FOLLOW_THROUGH"
	Blank         Verdict = "BLANK"
	Query         Verdict = "QUERY"
	// ByHand is a judged answer that a person has marked.
	ByHand Verdict = "BY_HAND"
)

// Words is the verdict as a page prints it.
func (v Verdict) Words() string {
	switch v {
	case Correct:
		return "correct"
	case Wrong:
		return "wrong"
	case WrongUnit:
		return "wrong unit"
	case UnitMissing:
		return "unit missing"
	case Figures:
		return "too few or too many figures"
	case FollowThrough:
		return "follow-through"
	case Blank:
		return "blank"
	case Query:
		return "query"
	case ByHand:
		return "marked by hand"
	}
	return string(v)
}

// Rule is the short id of the rule that decided.
type Rule string

// The rules. The number is that of the marking rule.
const (
	RuleHidden      Rule = "M1.hidden"        // hidden or control characters, or bytes that are no text
	RuleLong        Rule = "M1.long"          // over 64 characters
	RuleScripts     Rule = "M1.scripts"       // digits of two scripts
	RuleGrammar     Rule = "M2.grammar"       // not one number with a unit
	RuleGroups      Rule = "M3.groups"        // separators that are neither groups of three nor a decimal mark
	RuleTwoReadings Rule = "M3.two-readings"  // a comma that could be either, two verdicts
	RuleExponent    Rule = "M4.exponent"      // over 30 in size
	RulePrefix      Rule = "M5.prefix"        // a typed M that could be m, two verdicts
	RuleUnitUnknown Rule = "M5.unknown"       // not a unit
	RuleUnitOther   Rule = "M5.quantity"      // unit of another quantity
	RuleUnitMissing Rule = "M6.missing"       // right, but the unit asked for is not there
	RuleWithin      Rule = "M7.within"        // within the tolerance, closed
	RuleOutside     Rule = "M7.outside"       // outside it
	RuleOneAnswer   Rule = "M8.one-answer"    // a range, a fraction, a formula, not a number
	RuleBlank       Rule = "M9.blank"         // nothing or a dash
	RuleStop        Rule = "M9.stop"          // the tick "cannot be read, on its stop", right or wrong
	RuleTick        Rule = "M9.tick"          // a number and the tick, or a tick that is none
	RuleFigures     Rule = "M10.figures"      // neither n nor n + 1 figures
	RuleOption      Rule = "M11.option"       // one option, right or wrong
	RuleTwoOptions  Rule = "M11.two-options"  // two different options
	RuleNoOption    Rule = "M11.no-option"    // text that is no option
	RuleOrder       Rule = "M12.order"        // an order, right or in part
	RuleSafety      Rule = "M12.safety"       // a step that keeps people safe comes too late or not at all
	RuleNoStep      Rule = "M12.no-step"      // text that is no list of the steps
	RuleByHand      Rule = "judged.by-hand"   // a person gave the marks
	RuleJudged      Rule = "judged.waits"     // a person has to
	RuleFollow      Rule = "M13.follow"       // right from the own earlier value
	RuleFollowOpen  Rule = "M13.open"         // the own numbers lead to none of the options
	RuleFollowNear  Rule = "M13.near"         // that key is too near the true one to tell
	RuleFollowWhich Rule = "M13.which"        // the earlier value has two readings
	RuleImpossible  Rule = "M13.impossible"   // would follow, but no loop does that
	RuleTrivial     Rule = "M13.trivial"      // would follow, but nothing was left to do
	RuleWaits       Rule = "M13.waits"        // an earlier query comes first
	RuleAssessor    Rule = "assessor.settled" // the assessor said so
)

// Reading is one way to take an answer.
type Reading struct {
	Text    string   // written out plainly: "1250 Ω"; for a choice the option's id
	Value   *big.Rat // in the unit of the question; as typed where the unit is another quantity's; nil for choices, orders and numbers beyond the exponent
	Verdict Verdict
	Rule    Rule
	// What this reading loses although its number is right.
	UnitLost, FiguresLost bool
}

// Result is a judged answer.
type Result struct {
	Text     string    // as it came
	Readings []Reading // that were weighed; those that could not be drop out before
	Verdict  Verdict
	Rule     Rule
	Ask      string // for a query: what the assessor has to decide
	// NumberRight says that the number is within the tolerance (of a choice:
	// that it is the right one), whatever became of unit and figures.
	NumberRight           bool
	UnitLost, FiguresLost bool
	Order                 *Ordering // for an order that was given
}

func query(text string, rule Rule, ask string, readings ...Reading) Result {
	return Result{Text: text, Verdict: Query, Rule: rule, Ask: ask, Readings: readings}
}
