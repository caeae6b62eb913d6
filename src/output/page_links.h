/* How a page holds files: what page.c writes and page_take.c looks for. */
#ifndef THAW_OUTPUT_PAGE_LINKS_H
#define THAW_OUTPUT_PAGE_LINKS_H

#define THAW_LINK_DIGEST "<meta name=\"thawprint-digest\" content=\""
#define THAW_LINK_NAME "<a class=\"file\" download=\""
#define THAW_LINK_DATA "\" href=\"data:application/octet-stream;base64,"

#endif
