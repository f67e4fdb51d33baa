package scenarios

import (
	"encoding/json"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"loopdrill/scenarios/unit"
)

// object is a JSON object; encoding/json writes its keys in order.
type object = map[string]any

// Schema gives a JSON Schema (draft 2020-12) of course.yaml and plants/*.yaml,
// made from the same descriptions as the reader. One schema serves both files:
// a file with the key "plant" is a plant. The names of families, and which
// levels and faults each takes, come from the vocabulary; without families any
// id will do.
//
// The schema knows the form of single values; what depends on two of them,
// such as a supply too low for its loop, only the reader knows.
func Schema(vocab Vocabulary) ([]byte, error) {
	defs := object{}
	for _, rec := range []*Record{CourseFile, PlantFile} {
		define(defs, rec)
	}
	families(defs[ExerciseKeys.Name].(object), vocab)
	root := object{
		"$schema":     "https://json-schema.org/draft/2020-12/schema",
		"title":       "loopdrill course and plant files",
		"description": "course.yaml and plants/*.yaml of a loopdrill course",
		"type":        "object",
		"if":          object{"required": []string{PlantFile.Keys[0].Name}},
		"then":        object{"$ref": "#/$defs/" + PlantFile.Name},
		"else":        object{"$ref": "#/$defs/" + CourseFile.Name},
		"$defs":       defs,
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(root); err != nil {
		return nil, err
	}
	return []byte(b.String()), nil
}

// define adds the schema of a record, and of the records in it, to defs.
func define(defs object, rec *Record) {
	if defs[rec.Name] != nil {
		return
	}
	properties, required := object{}, []string{}
	defs[rec.Name] = object{"type": "object", "description": rec.Says, "properties": properties, "additionalProperties": false}
	for i := range rec.Keys {
		key := &rec.Keys[i]
		if key.Of != nil {
			define(defs, key.Of)
		}
		p := key.schema()
		p["description"] = key.Says
		if key.Default != "" && key.Type != TypeWhole {
			p["default"] = key.Default
		} else if n, err := strconv.Atoi(key.Default); err == nil {
			p["default"] = n
		}
		properties[key.Name] = p
		if others := rec.inPlaceOf(key.Name); key.Required && len(others) > 0 {
			either := []object{{"required": []string{key.Name}}}
			for _, name := range others {
				either = append(either, object{"required": []string{name}})
			}
			defs[rec.Name].(object)["anyOf"] = either
		} else if key.Required {
			required = append(required, key.Name)
		}
	}
	if len(required) > 0 {
		defs[rec.Name].(object)["required"] = required
	}
	instead := object{}
	for i := range rec.Keys {
		if key := &rec.Keys[i]; len(key.Instead) > 0 {
			forbidden := object{}
			for _, name := range key.Instead {
				forbidden[name] = false
			}
			instead[key.Name] = object{"properties": forbidden}
		}
	}
	if len(instead) > 0 {
		defs[rec.Name].(object)["dependentSchemas"] = instead
	}
}

const (
	decimalPattern = "[-+\u2212]?" + `(0|[1-9][0-9]*)(\.[0-9]+)?`
	numberPattern  = `^` + decimalPattern
)

func (k *Key) schema() object {
	list := func(item object) object { return object{"type": "array", "minItems": 1, "items": item} }
	switch k.Type {
	case TypeText:
		return object{"type": "string", "pattern": `\S`, "maxLength": longestText}
	case TypeID:
		return object{"type": "string", "pattern": idForm.String(), "maxLength": 60}
	case TypeIDs:
		return list(object{"type": "string", "pattern": idForm.String(), "maxLength": 60})
	case TypeTag:
		return object{"type": "string", "pattern": tagForm.String()}
	case TypeTags:
		return list(object{"type": "string", "pattern": tagForm.String()})
	case TypePath:
		// No step of the path begins with a point, so none climbs.
		return object{"type": "string", "pattern": `^[^/.\\:][^/\\:]*(/[^/.\\:][^/\\:]*)*\.md$`}
	case TypeChoice:
		return object{"type": "string", "enum": k.Words}
	case TypeChoices:
		return list(object{"type": "string", "enum": k.Words})
	case TypeWhole:
		o := object{"type": "integer"}
		if n, err := strconv.Atoi(k.Low); err == nil {
			o["minimum"] = n
		}
		if n, err := strconv.Atoi(k.High); err == nil {
			o["maximum"] = n
		}
		return o
	case TypeQuantity:
		return object{"type": "string", "pattern": numberPattern + `\s*(` + k.unitPattern() + `)\s*$`, "examples": []string{k.Example}}
	case TypeRanges:
		item := *k
		item.Type, item.Example = TypeRange, strings.Trim(strings.Split(k.Example, ",")[0], "[] ")
		return list(item.schema())
	case TypeRange:
		u := `\s*(` + k.unitPattern() + `)`
		return object{"type": "string", "pattern": numberPattern + `(` + u + `)?\s*(\.\.|…)\s*` + decimalPattern + u + `\s*$`, "examples": []string{k.Example}}
	case TypeLabel:
		return object{"type": []string{"string", "number"}}
	case TypeDate:
		return object{"type": "string", "format": "date", "pattern": datePattern, "examples": []string{k.Example}}
	case TypePosition:
		return object{"anyOf": []object{{"const": 0}, {"type": "string", "pattern": `^([0-9]{1,4} +(left|right)|0|left stop|right stop)$`}}}
	case TypeBlock:
		return object{"$ref": "#/$defs/" + k.Of.Name}
	}
	return list(object{"$ref": "#/$defs/" + k.Of.Name})
}

// unitPattern matches every spelling of the units of a key, longest first.
func (k *Key) unitPattern() string {
	var names []string
	for _, d := range k.Units {
		names = append(names, unit.Spellings(d)...)
	}
	sort.SliceStable(names, func(i, j int) bool { return len(names[i]) > len(names[j]) })
	for i, n := range names {
		names[i] = regexp.QuoteMeta(n)
	}
	return strings.Join(names, "|")
}

// families puts the words of the vocabulary into the schema of an exercise.
func families(exercise object, vocab Vocabulary) {
	if len(vocab.Families) == 0 {
		return
	}
	properties := exercise["properties"].(object)
	family := properties["family"].(object)
	delete(family, "pattern")
	delete(family, "maxLength")
	family["enum"] = vocab.names()
	var each []object
	for _, spec := range vocab.Families {
		then := object{}
		var levels []string
		for _, l := range spec.Levels {
			levels = append(levels, l.Name)
		}
		if len(levels) > 0 {
			then["level"] = object{"enum": levels}
		}
		if len(spec.Faults) > 0 {
			then["faults"] = object{"items": object{"enum": spec.Faults}}
		} else {
			then["faults"] = false
		}
		if !spec.TakesLoops() {
			then["loops"] = false
		}
		if !spec.TakesOutputs() {
			then["outputs"] = false
		}
		if len(spec.Places) == 0 {
			then["place"] = false
		} else {
			then["place"] = object{"enum": spec.Places}
		}
		each = append(each, object{
			"if":   object{"properties": object{"family": object{"const": spec.Name}}, "required": []string{"family"}},
			"then": object{"properties": then},
		})
	}
	exercise["allOf"] = each
}
