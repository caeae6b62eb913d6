/* Style and script of the page, built in from page.css and page.js; sums of them in hexadecimal. */
#ifndef THAW_OUTPUT_PAGE_PARTS_H
#define THAW_OUTPUT_PAGE_PARTS_H

extern const char thaw_page_style[], thaw_page_style_sha256[];
extern const char thaw_page_script[], thaw_page_script_sha256[];

#endif
