package scenarios

import (
	"fmt"
	"strings"

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
	f.together(b)
	for i := range rec.Keys {
		key := &rec.Keys[i]
		if b.values[key.Name] != nil {
			continue
		}
		if key.Required && b.replaced(key.Name) {
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

// replaced says whether a key is written that stands in place of this one.
func (b *block) replaced(name string) bool {
	for i := range b.rec.Keys {
		k := &b.rec.Keys[i]
		if b.values[k.Name] != nil && contains(k.Instead, name) {
			return true
		}
	}
	return false
}

// together reports keys of which each stands in place of the other.
func (f *file) together(b *block) {
	for i := range b.rec.Keys {
		key := &b.rec.Keys[i]
		v := b.values[key.Name]
		if v == nil {
			continue
		}
		for _, name := range key.Instead {
			if w := b.values[name]; w != nil {
				second := f.at(v.name)
				f.r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleTogether, At: f.at(w.name), Second: &second, SecondIs: "this stands in its place",
					Summary: fmt.Sprintf("%q and %q are both written in this %s", w.key.Name, key.Name, b.rec.Name), Hint: fmt.Sprintf("keep %q, or else %s", key.Name, `"`+strings.Join(key.Instead, `" and "`)+`"`)})
			}
		}
	}
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
	if why := rec.Absent[name.Value]; why != "" {
		hint = why
	}
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
	if isNull(n) && key.Type != TypeLabel { // somebody may be called Null
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
	case TypeBlocks, TypeIDs, TypeTags, TypeChoices, TypeRanges:
		if n.Kind != yaml.SequenceNode {
			f.err(RuleType, f.at(n), fmt.Sprintf("%s should be a list, not %s", what, kindOf(n)), listHint(key, n))
			return v
		}
		if len(n.Content) == 0 {
			f.err(RuleEmptyList, f.at(n), what+" is an empty list", exampleHint(key, "or leave the key out"))
			return v
		}
		item := *key
		item.Type = map[Type]Type{TypeBlocks: TypeBlock, TypeIDs: TypeID, TypeTags: TypeTag, TypeChoices: TypeChoice, TypeRanges: TypeRange}[key.Type]
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

// says names a type in a sentence.
func (t Type) says() string {
	return [...]string{"text", "an id", "a list of ids", "a tag", "a list of tags", "a file name", "one of a few words", "a list of words",
		"a whole number", "a quantity", "a range", "a number or a name", "a needle position", "a block of keys", "a list of blocks", "a date", "a list of ranges"}[t]
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
	if key.Type == TypeBlocks && key.Of.Example != "" {
		return fmt.Sprintf("begin each item on a line of its own with a dash: %q", "- "+key.Of.Example)
	}
	if key.Type == TypeBlocks {
		return "begin each item on a line of its own with a dash: \"- " + key.Of.Keys[0].Name + ": ...\""
	}
	inside := strings.Trim(key.Example, "[]")
	if n.Kind == yaml.ScalarNode && n.Value != "" && len(n.Value) <= 60 {
		inside = strings.Join(strings.FieldsFunc(n.Value, func(r rune) bool { return r == ',' || r == ' ' && key.Type != TypeRanges }), ", ")
	}
	return fmt.Sprintf("write it in brackets: %q", key.Name+": ["+inside+"]")
}
