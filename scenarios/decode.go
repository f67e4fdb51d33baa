package scenarios

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/unit"
)

// value is what stands behind one key, checked against the key's description.
type value struct {
	f    *file
	key  *Key
	name *yaml.Node // the key as written; nil for a default or a list item
	n    *yaml.Node // nil for a default
	ok   bool       // it is there (or has a default) and is of the right type

	text     string
	whole    int
	quantity unit.Quantity
	rng      unit.Range
	block    *block
	list     []*value
}

// block is a mapping, checked against its record.
type block struct {
	f      *file
	rec    *Record
	n      *yaml.Node // nil where the whole block was left out
	values map[string]*value
}

// get gives the value of a key. It is never nil; for a key that was left out
// and has no default ok is false.
func (b *block) get(name string) *value {
	if v := b.values[name]; v != nil {
		return v
	}
	if b.rec.key(name) == nil {
		panic("scenarios: no key " + name + " in the description of a " + b.rec.Name)
	}
	return &value{f: b.f}
}

// written says whether the key stands in the file.
func (b *block) written(name string) bool { return b.get(name).n != nil }

// at is the place of a value, or of its block where it was left out.
func (b *block) at(name string) diag.Place {
	if v := b.get(name); v.n != nil {
		return v.at()
	}
	return b.place()
}

func (b *block) place() diag.Place {
	if b.n != nil {
		return b.f.at(b.n)
	}
	return b.f.all()
}

func (v *value) at() diag.Place { return v.f.at(v.n) }

// block reads a mapping against its record: it reports unknown, repeated and
// missing keys and values of the wrong type. It returns nil where n is no
// mapping at all.
func (f *file) block(n *yaml.Node, rec *Record, what string) *block {
	if !f.plain(n) {
		return nil
	}
	if n.Kind != yaml.MappingNode {
		f.err(RuleType, f.at(n), fmt.Sprintf("%s should be a block of keys, not %s", what, kindOf(n)),
			"write one \"key: value\" a line; keys here: "+strings.Join(rec.names(), ", "))
		return nil
	}
	b := &block{f: f, rec: rec, n: n, values: map[string]*value{}}
	seen := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, val := n.Content[i], n.Content[i+1]
		if !f.plain(name) {
			continue
		}
		if name.Kind != yaml.ScalarNode {
			f.err(RuleType, f.at(name), "a key should be a word, not "+kindOf(name), "")
			continue
		}
		if first := seen[name.Value]; first != nil {
			second := f.at(first)
			f.r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleDuplicateKey, At: f.at(name), Second: &second, SecondIs: "first written here",
				Summary: fmt.Sprintf("key %q is written twice in this %s", shorten(name.Value), rec.Name), Hint: "keep one of the two"})
			continue
		}
		seen[name.Value] = name
		key := rec.key(name.Value)
		if key == nil {
			f.unknownKey(name, rec)
			continue
		}
		v := f.value(key, name, val, fmt.Sprintf("%q", key.Name))
		b.values[key.Name] = v
	}
	for i := range rec.Keys {
		key := &rec.Keys[i]
		if b.values[key.Name] != nil {
			continue
		}
		if key.Required {
			f.err(RuleMissingKey, f.head(n), fmt.Sprintf("this %s has no %q", rec.Name, key.Name), fmt.Sprintf("add %q: %s", key.Name+": "+key.Example, key.Says))
			b.values[key.Name] = &value{f: f, key: key}
			continue
		}
		if v := f.left(key); v != nil {
			b.values[key.Name] = v
		}
	}
	return b
}

// head is the place of the first key of a block, where a missing one is
// reported: underlining a whole block would show nothing.
func (f *file) head(n *yaml.Node) diag.Place {
	if len(n.Content) > 0 && n.Style&yaml.FlowStyle == 0 {
		return f.at(n.Content[0])
	}
	return f.at(n)
}

func (f *file) unknownKey(name *yaml.Node, rec *Record) {
	if name.Tag == "!!merge" {
		f.err(RuleAlias, f.at(name), "merge keys (<<) are not read here", "write the keys out")
		return
	}
	if isNull(name) {
		f.err(RuleType, f.at(name), "there is no key before the colon", "")
		return
	}
	hint := diag.Hint(name.Value, "keys of "+article(rec.Name), rec.names())
	f.err(RuleUnknownKey, f.at(name), fmt.Sprintf("%s has no key %q", article(rec.Name), shorten(name.Value)), hint)
}

// left gives the value of a key that was left out: its default, or a block of
// defaults. It is nil where there is none.
func (f *file) left(key *Key) *value {
	if key.Type == TypeBlock {
		b := &block{f: f, rec: key.Of, values: map[string]*value{}}
		for i := range key.Of.Keys {
			if v := f.left(&key.Of.Keys[i]); v != nil {
				b.values[key.Of.Keys[i].Name] = v
			}
		}
		return &value{f: f, key: key, ok: true, block: b}
	}
	if key.Default == "" {
		return nil
	}
	v := &value{f: f, key: key}
	if problem := v.parse(key.Default); problem != nil {
		panic("scenarios: the default of " + key.Name + " is wrong: " + problem.Error())
	}
	v.ok = true
	return v
}

// value reads what stands behind a key.
func (f *file) value(key *Key, name, n *yaml.Node, what string) *value {
	v := &value{f: f, key: key, name: name, n: n}
	if !f.plain(n) {
		return v
	}
	if isNull(n) {
		at := f.at(n)
		if name != nil {
			at = f.at(name)
		}
		f.err(RuleNull, at, what+" has no value", exampleHint(key, "or leave the key out"))
		return v
	}
	switch key.Type {
	case TypeBlock:
		v.block = f.block(n, key.Of, what)
		v.ok = v.block != nil
		return v
	case TypeBlocks, TypeIDs, TypeTags, TypeChoices:
		if n.Kind != yaml.SequenceNode {
			f.err(RuleType, f.at(n), fmt.Sprintf("%s should be a list, not %s", what, kindOf(n)), listHint(key, n))
			return v
		}
		if len(n.Content) == 0 {
			f.err(RuleEmptyList, f.at(n), what+" is an empty list", exampleHint(key, "or leave the key out"))
			return v
		}
		item := *key
		item.Type = map[Type]Type{TypeBlocks: TypeBlock, TypeIDs: TypeID, TypeTags: TypeTag, TypeChoices: TypeChoice}[key.Type]
		if key.Type != TypeBlocks {
			item.Example = strings.Trim(strings.Split(key.Example, ",")[0], "[] ")
		}
		for _, c := range n.Content {
			v.list = append(v.list, f.value(&item, nil, c, "an item of "+what))
		}
		v.ok = true
		return v
	}
	if n.Kind != yaml.ScalarNode {
		f.err(RuleType, f.at(n), fmt.Sprintf("%s should be %s, not %s", what, key.Type.says(), kindOf(n)), exampleHint(key, ""))
		return v
	}
	if key.Type == TypeText && n.Tag != "!!str" {
		f.err(RuleType, f.at(n), fmt.Sprintf("%s should be text, not %s", what, kindOf(n)), fmt.Sprintf("put it between quotes: %q", n.Value))
		return v
	}
	if n.Tag == "!!float" && notFinite(n.Value) {
		f.err(RuleNotFinite, f.at(n), fmt.Sprintf("%s is %s, which is not a number to reckon with", what, n.Value), exampleHint(key, ""))
		return v
	}
	if problem := v.parse(n.Value); problem != nil {
		f.err(problem.rule, f.at(n), what+": "+problem.what, problem.hint)
		return v
	}
	v.ok = true
	return v
}

// plain refuses what a course file has no use for: aliases, which can make a
// small file enormous, and tags, which ask for types of other programs.
func (f *file) plain(n *yaml.Node) bool {
	switch {
	case n.Kind == yaml.AliasNode:
		f.err(RuleAlias, f.at(n), "aliases (*name) are not read here", "write the value out; text that begins with * goes between quotes")
		return false
	case n.Style&yaml.TaggedStyle != 0:
		f.err(RuleTag, f.at(n), fmt.Sprintf("tags such as %q are not read here", shorten(n.Tag)), "leave the tag out; text that begins with ! goes between quotes")
		return false
	}
	return true
}

// trouble is what is wrong with a scalar.
type trouble struct{ rule, what, hint string }

func (t *trouble) Error() string { return t.what }

var (
	idForm  = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
	tagForm = regexp.MustCompile(`^[A-Z]{2,5}-[0-9]{1,6}[A-Z]?$`)
)

// longestText is the most characters that a title or a name may have: it must
// fit a heading and a table.
const longestText = 200

// parse reads a scalar into v.
func (v *value) parse(s string) *trouble {
	v.text = s
	bad := func(hint string) *trouble {
		return &trouble{RuleValue, fmt.Sprintf("%q is not %s", shorten(s), v.key.Type.says()), hint}
	}
	switch v.key.Type {
	case TypeText:
		switch {
		case strings.ContainsFunc(s, hidden):
			return &trouble{RuleValue, "there is an invisible character in this text, from a \"\\\" between double quotes", `put the text between ' ' instead, where a back slash is a back slash`}
		case strings.TrimSpace(s) == "":
			return &trouble{RuleValue, "there are no words here", exampleHint(v.key, "")}
		case utf8.RuneCountInString(s) > longestText:
			return &trouble{RuleValue, fmt.Sprintf("%d characters are too many for a line of print", utf8.RuneCountInString(s)), fmt.Sprintf("at most %d are read", longestText)}
		}
		v.text = strings.Join(strings.Fields(s), " ")
	case TypeID:
		if !idForm.MatchString(s) || len(s) > 60 {
			hint := "write lower-case words joined by hyphens, such as " + v.key.Example
			if fixed := kebab(s); fixed != "" && fixed != s {
				hint = fmt.Sprintf("write it as %q", fixed)
			}
			return bad(hint)
		}
	case TypeTag:
		if !tagForm.MatchString(s) {
			hint := "write the letters, a hyphen and the number, such as LT-2104"
			if fixed := asTag(s); fixed != "" {
				hint = fmt.Sprintf("write it as %q", fixed)
			} else if words := strings.Fields(s); len(words) > 1 && tagForm.MatchString(words[0]) {
				hint = fmt.Sprintf("put a comma between: %q", strings.Join(words, ", "))
			}
			return bad(hint)
		}
	case TypePath:
		return v.path(s)
	case TypeChoice:
		for _, w := range v.key.Words {
			if s == w {
				return nil
			}
		}
		return &trouble{RuleUnknownName, fmt.Sprintf("%q is not known here", shorten(s)), diag.Hint(s, "permitted are", v.key.Words)}
	case TypeWhole:
		return v.number(s)
	case TypeQuantity:
		return v.amount(s)
	case TypePosition:
		return v.position(s)
	case TypeRange:
		r, err := unit.ParseRange(s)
		if err != nil {
			return mistake(RuleRange, err)
		}
		if t := v.dimension(r.Unit, s); t != nil {
			return t
		}
		v.rng = r
	}
	return nil
}

func (v *value) number(s string) *trouble {
	digits := strings.TrimPrefix(s, "-")
	if len(digits) > 1 && digits[0] == '0' && strings.Trim(digits, "0123456789") == "" {
		return &trouble{RuleOctal, fmt.Sprintf("%q has a leading zero, which some programs read as octal", shorten(s)), "leave out the leading zeros"}
	}
	n, err := strconv.Atoi(s)
	if err != nil || strings.HasPrefix(s, "+") {
		return &trouble{RuleValue, fmt.Sprintf("%q is not a whole number", shorten(s)), "write it in digits alone, such as " + v.key.Example}
	}
	low, _ := strconv.Atoi(v.key.Low)
	high, _ := strconv.Atoi(v.key.High)
	if v.key.Low != "" && n < low || v.key.High != "" && n > high {
		return &trouble{RuleBounds, fmt.Sprintf("%d lies outside what is permitted, %s", n, limits(v.key)), fmt.Sprintf("the nearest permitted is %d", min(max(n, low), high))}
	}
	v.whole = n
	return nil
}

func (v *value) amount(s string) *trouble {
	q, err := unit.Parse(s)
	if err != nil {
		rule := RuleQuantity
		if strings.Contains(err.Error(), "octal") {
			rule = RuleOctal
		}
		return mistake(rule, err)
	}
	if t := v.dimension(q.Unit, s); t != nil {
		return t
	}
	for i, limit := range []string{v.key.Low, v.key.High} {
		if limit == "" {
			continue
		}
		bound, err := unit.Parse(limit)
		if err != nil {
			panic("scenarios: the limit of " + v.key.Name + " is wrong: " + err.Error())
		}
		if bound.Unit.Dimension != q.Unit.Dimension {
			continue
		}
		b, _ := bound.Convert(q.Unit)
		if d := q.V.Sub(b).Sign(); i == 0 && d < 0 || i == 1 && d > 0 {
			return &trouble{RuleBounds, fmt.Sprintf("%s lies outside what is permitted, %s", q, limits(v.key)), "the nearest permitted is " + limit}
		}
	}
	v.quantity = q
	return nil
}

func limits(k *Key) string {
	switch {
	case k.Low == "":
		return "at most " + k.High
	case k.High == "":
		return "at least " + k.Low
	}
	return k.Low + " to " + k.High
}

// dimension checks that a unit measures what the key wants.
func (v *value) dimension(u unit.Unit, s string) *trouble {
	for _, d := range v.key.Units {
		if d == u.Dimension {
			return nil
		}
	}
	var want, names []string
	for _, d := range v.key.Units {
		want = append(want, "a "+d.String())
		n := 0
		for _, x := range unit.All() {
			if x.Dimension == d && (len(v.key.Units) < 3 && len(names) < 8 || len(v.key.Units) >= 3 && n < 2) {
				names = append(names, x.Name())
				n++
			}
		}
	}
	if len(want) > 3 {
		want = []string{"a measured quantity"}
	}
	is := "has no unit"
	if u.Dimension != unit.Number {
		is = fmt.Sprintf("is a %s", u.Dimension)
	}
	hint := fmt.Sprintf("such as %s; units that fit: %s", v.key.Example, strings.Join(names, ", "))
	if u.Dimension == unit.Number && v.key.Type == TypeQuantity {
		if eg, err := unit.Parse(v.key.Example); err == nil {
			hint = fmt.Sprintf("write %q, if that is what is meant; units that fit: %s", strings.TrimSpace(s)+" "+eg.Unit.Name(), strings.Join(names, ", "))
		}
	}
	if u.Dimension == unit.Percent && len(v.key.Units) == 1 && v.key.Units[0] == unit.PercentOfSpan {
		hint = fmt.Sprintf("say of what the percentage is taken: %q", strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s), "%"))+" %span")
	}
	return &trouble{RuleUnit, fmt.Sprintf("%q %s; %s is wanted here", s, is, strings.Join(want, " or ")), hint}
}

// mistake carries over what package unit found.
func mistake(rule string, err error) *trouble {
	var m *unit.Mistake
	if errors.As(err, &m) {
		return &trouble{rule, m.What, m.Hint}
	}
	return &trouble{rule, err.Error(), ""}
}

// hidden says whether a character would not show in print, or would change how
// the others do.
func hidden(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || r == 0x2028 || r == 0x2029 || r == 0xfeff || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}

func notFinite(s string) bool {
	s = strings.ToLower(strings.TrimLeft(s, "+-"))
	return s == ".nan" || s == ".inf"
}

// kebab makes an id of words, or gives "" where nothing is left.
func kebab(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9' && b.Len() > 0:
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	out := strings.TrimRight(b.String(), "-")
	if len(out) > 60 || !idForm.MatchString(out) {
		return ""
	}
	return out
}

var looseTag = regexp.MustCompile(`^([A-Za-z]{2,5})[-_ .]*([0-9]{1,6}[A-Za-z]?)$`)

func asTag(s string) string {
	if m := looseTag.FindStringSubmatch(strings.TrimSpace(s)); m != nil {
		return strings.ToUpper(m[1] + "-" + m[2])
	}
	return ""
}

// says names a type in a sentence.
func (t Type) says() string {
	return [...]string{"text", "an id", "a list of ids", "a tag", "a list of tags", "a file name", "one of a few words", "a list of words",
		"a whole number", "a quantity", "a range", "a needle position", "a block of keys", "a list of blocks"}[t]
}

func kindOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a block of keys"
	case yaml.SequenceNode:
		return "a list"
	case yaml.ScalarNode:
		switch n.Tag {
		case "!!int", "!!float":
			return "the number " + shorten(n.Value)
		case "!!bool":
			return "the yes/no value " + shorten(n.Value)
		case "!!timestamp":
			return "the date " + shorten(n.Value)
		case "!!null":
			return "nothing"
		}
		return fmt.Sprintf("the text %q", shorten(n.Value))
	}
	return "something else"
}

// article puts "a" or "an" before a name.
func article(name string) string {
	if strings.IndexByte("aeio", name[0]) >= 0 {
		return "an " + name
	}
	return "a " + name
}

func shorten(s string) string {
	r := []rune(s)
	if len(r) <= 40 {
		return s
	}
	return string(r[:39]) + "…"
}

func exampleHint(key *Key, or string) string {
	hint := ""
	switch {
	case key.Example == "":
		hint = "give it a value"
	default:
		hint = fmt.Sprintf("such as %q", key.Name+": "+key.Example)
	}
	if or != "" && !key.Required {
		hint += ", " + or
	}
	return hint
}

func listHint(key *Key, n *yaml.Node) string {
	if key.Type == TypeBlocks {
		return "begin each item on a line of its own with a dash: \"- " + key.Of.Keys[0].Name + ": ...\""
	}
	inside := strings.Trim(key.Example, "[]")
	if n.Kind == yaml.ScalarNode && n.Value != "" && len(n.Value) <= 60 {
		inside = strings.Join(strings.FieldsFunc(n.Value, func(r rune) bool { return r == ',' || r == ' ' }), ", ")
	}
	return fmt.Sprintf("write it in brackets: %q", key.Name+": ["+inside+"]")
}
