// Package render says how things look: it appends HTML, MathML and SVG to a
// byte slice from drawn exercises and read courses. Nothing here reads YAML,
// opens files or knows where pages go.
//
// Make one [Renderer] with [NewRenderer] and use it for all pages.
package render
