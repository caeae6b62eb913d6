/* Man page and shell completion, made from the tables that the program reads its command line with. */
#ifndef THAW_PACKAGING_PAGES_H
#define THAW_PACKAGING_PAGES_H

/* Both print on stdout. `date`: of the release, as 2026-11-26. */
void pages_man(const char *date);
void pages_bash(void);

#endif
