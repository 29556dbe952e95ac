package main

import (
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
)

// The requests of man(7), and what would be read as one, are those of groff_man(7).
func TestNoWordOfAHelpTextIsReadAsARequest(t *testing.T) {
	c := &cobra.Command{Use: "a-b", Short: `One \n "two"`, Long: ".SH not a section\n'nor this\n\n  set in --as it is\n  .nf\n\nC:\\temp", Example: "  .PP"}
	c.Flags().String("to", "", "write into this `folder`, .even here")
	assert.Equal(t, `.TH "A-B" "1" "" "Fenderside 0.1.0" "Fenderside"
.SH "NAME"
a-b \- One \en "two"
.SH "SYNOPSIS"
\fBa\-b [flags]\fP
.SH "DESCRIPTION"
\&.SH not a section
\&'nor this
.PP
.nf
  set in \-\-as it is
  .nf
.fi
.PP
C:\etemp
.SH "OPTIONS"
.TP
\fB\-\-to\fP \fIfolder\fP
write into this folder, .even here
.SH "EXAMPLES"
.nf
  .PP
.fi
`, manualPage(c))
}
