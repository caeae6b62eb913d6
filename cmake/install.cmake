# The shared library, and what `cmake --install` puts where.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

# Made from the objects of the static library, which the tests see whole. The public headers say what it shows. The
# number of its interface is 0 until version 1 (programs must be built anew for each minor version).
set(EXPORTS ${PROJECT_BINARY_DIR}/thawprint.map)
file(GLOB PUBLIC_HEADERS CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/thawprint/*.h)
add_custom_command(OUTPUT ${EXPORTS}
  COMMAND ${CMAKE_COMMAND} -DHEADERS=${PROJECT_SOURCE_DIR}/include/thawprint -DNODE=THAWPRINT_${PROJECT_VERSION_MAJOR}
    -DOUT=${EXPORTS} -P ${PROJECT_SOURCE_DIR}/cmake/exports.cmake
  DEPENDS ${PUBLIC_HEADERS} ${PROJECT_SOURCE_DIR}/cmake/exports.cmake)
add_custom_target(exports DEPENDS ${EXPORTS})
add_library(libthawprint_shared SHARED $<TARGET_OBJECTS:libthawprint>)
add_dependencies(libthawprint_shared exports)
set_target_properties(libthawprint_shared PROPERTIES OUTPUT_NAME thawprint EXPORT_NAME thawprint LINKER_LANGUAGE C
  VERSION ${PROJECT_VERSION} SOVERSION ${PROJECT_VERSION_MAJOR} LINK_DEPENDS ${EXPORTS})
target_include_directories(libthawprint_shared INTERFACE $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}/include>
  $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}>)
target_link_libraries(libthawprint_shared PRIVATE $<TARGET_PROPERTY:libthawprint,LINK_LIBRARIES>)
target_link_options(libthawprint_shared PRIVATE -Wl,--version-script=${EXPORTS})

# Where the loader looks anyway, a package shall not say where.
if(NOT CMAKE_INSTALL_PREFIX MATCHES "^/usr/?$")
  file(RELATIVE_PATH BIN_TO_LIB ${CMAKE_INSTALL_FULL_BINDIR} ${CMAKE_INSTALL_FULL_LIBDIR})
  set_target_properties(thawprint PROPERTIES INSTALL_RPATH "$ORIGIN/${BIN_TO_LIB}")
endif()

set(PACKAGE_DIR ${CMAKE_INSTALL_LIBDIR}/cmake/thawprint)
file(RELATIVE_PATH UP_TO_PREFIX /${CMAKE_INSTALL_LIBDIR}/pkgconfig /)
string(REGEX REPLACE "/$" "" UP_TO_PREFIX "${UP_TO_PREFIX}")
configure_file(cmake/thawprint.pc.in ${PROJECT_BINARY_DIR}/thawprint.pc @ONLY)
configure_package_config_file(cmake/thawprintConfig.cmake.in ${PROJECT_BINARY_DIR}/thawprintConfig.cmake
  INSTALL_DESTINATION ${PACKAGE_DIR})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/thawprintConfigVersion.cmake COMPATIBILITY SameMinorVersion)

install(TARGETS thawprint)
install(TARGETS libthawprint_shared EXPORT thawprintTargets)
install(EXPORT thawprintTargets NAMESPACE thawprint:: DESTINATION ${PACKAGE_DIR})
install(FILES ${PROJECT_BINARY_DIR}/thawprintConfig.cmake ${PROJECT_BINARY_DIR}/thawprintConfigVersion.cmake
  DESTINATION ${PACKAGE_DIR})
install(FILES ${PROJECT_BINARY_DIR}/thawprint.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
install(DIRECTORY include/thawprint DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} FILES_MATCHING PATTERN *.h)
install(DIRECTORY scenarios DESTINATION ${CMAKE_INSTALL_DATADIR}/thawprint PATTERN demo.sh EXCLUDE)
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(DIRECTORY docs DESTINATION ${CMAKE_INSTALL_DOCDIR} FILES_MATCHING PATTERN *.md PATTERN *.png)
