#!/bin/sh
# Prints the sizes M3 to M16 of the arrays in MCAD's nuts_and_bolts.scad as tab-separated values.
# Recipe: apt-get install openscad-mcad && sh testdata/openscad-mcad.sh > testdata/openscad-mcad.tsv
f=${1:-/usr/share/openscad/libraries/MCAD/nuts_and_bolts.scad}
echo '# Fastener sizes in mm as the OpenSCAD library MCAD has them: Debian package openscad-mcad 2019.05-1, nuts_and_bolts.scad (LGPL-2.1).'
echo '# Made by testdata/openscad-mcad.sh. An array index is the thread diameter in mm.'
printf 'thread\tnutCorners\tnutHeight\tscrewLargest\tsocketHead\n'
awk '
/^[A-Z_]+ =/ { name = $1; index_ = 0; next }
/^\];?/ { name = "" }
name != "" && /^[ \t]*-?[0-9]/ { v = $1; sub(/,.*|\/\/.*/, "", v); value[name, index_++] = v }
END {
	n = split("3 4 5 6 8 10 12 16", d, " ")
	for (i = 1; i <= n; i++)
		printf "M%d\t%s\t%s\t%s\t%s\n", d[i], value["METRIC_NUT_AC_WIDTHS", d[i]], value["METRIC_NUT_THICKNESS", d[i]], value["COURSE_METRIC_BOLT_MAJOR_THREAD_DIAMETERS", d[i]], value["METRIC_BOLT_CAP_DIAMETERS", d[i]]
}' "$f"
