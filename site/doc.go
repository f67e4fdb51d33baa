// Package site says where pages go: it lists the files of a folder for an
// instructor, with style, script and chart library, and publishes the folder
// whole or not at all.
//
// For most uses call [Folder] with the drawn forms of a course and hand its
// files to [Publish]. The same files give the same bytes, however many workers
// write them.
package site
