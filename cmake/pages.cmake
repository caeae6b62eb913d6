# Man page and shell completion, made by a program that shares the table of commands and options with thawprint.
find_program(GZIP gzip REQUIRED)
file(STRINGS docs/changes.md RELEASED REGEX "^## ${PROJECT_VERSION} \\([0-9-]+\\)$")
if(NOT RELEASED)
  message(FATAL_ERROR "docs/changes.md has no heading `## ${PROJECT_VERSION} (YEAR-MONTH-DAY)`")
endif()
string(REGEX REPLACE ".*\\((.*)\\)" "\\1" RELEASED "${RELEASED}")
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS docs/changes.md)

file(GLOB TABLE CONFIGURE_DEPENDS src/cli/options*.c)
add_executable(thaw_pages packaging/pages.c packaging/man_page.c packaging/completion.c ${TABLE})
target_include_directories(thaw_pages PRIVATE src)
target_link_libraries(thaw_pages PRIVATE libthawprint_shared thaw_flags m)

set(PAGES ${PROJECT_BINARY_DIR}/pages)
file(MAKE_DIRECTORY ${PAGES})
add_custom_command(OUTPUT ${PAGES}/thawprint.1 ${PAGES}/thawprint.1.gz ${PAGES}/thawprint
  COMMAND thaw_pages man ${RELEASED} > ${PAGES}/thawprint.1
  COMMAND ${GZIP} -9nkf ${PAGES}/thawprint.1
  COMMAND thaw_pages bash > ${PAGES}/thawprint
  DEPENDS thaw_pages VERBATIM)
add_custom_target(pages ALL DEPENDS ${PAGES}/thawprint.1.gz ${PAGES}/thawprint)

install(FILES ${PAGES}/thawprint.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${PAGES}/thawprint DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
