# SPDX-License-Identifier: BSL-1.0
# What `cmake --install` lays down: headers, C interface, find_package files, pkg-config file. In two components, which CPack
# makes two packages of: `runtime`, the shared library, and `dev`, everything that one builds with.
include(CMakePackageConfigHelpers)

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/tapewright)
set(targets tapewright)
if(TAPEWRIGHT_CAPI)
  list(APPEND targets tapewright_c tapewright_c_static tapewright_guard)
endif()
install(TARGETS ${targets} EXPORT tapewright-targets
  FILE_SET HEADERS COMPONENT dev
  LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT runtime NAMELINK_COMPONENT dev
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT dev
  RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT runtime)
install(EXPORT tapewright-targets NAMESPACE tapewright:: DESTINATION ${package_dir} COMPONENT dev)

configure_package_config_file(cmake/tapewright-config.cmake.in
  ${PROJECT_BINARY_DIR}/tapewright-config.cmake INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/tapewright-config-version.cmake
  COMPATIBILITY SameMajorVersion)
install(FILES ${PROJECT_BINARY_DIR}/tapewright-config.cmake
  ${PROJECT_BINARY_DIR}/tapewright-config-version.cmake DESTINATION ${package_dir} COMPONENT dev)

if(TAPEWRIGHT_CAPI)
  configure_file(cmake/tapewright.pc.in ${PROJECT_BINARY_DIR}/tapewright.pc @ONLY)
  install(FILES ${PROJECT_BINARY_DIR}/tapewright.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT dev)
  install(FILES capi/functions.json DESTINATION ${CMAKE_INSTALL_DATADIR}/tapewright COMPONENT dev)
endif()

# The whole library as one header, where there is a Python to make it with.
find_package(Python3 COMPONENTS Interpreter QUIET)
if(Python3_FOUND)
  set(single_header ${PROJECT_BINARY_DIR}/tapewright_single.hpp)
  set(single_header_from ${public_headers})
  list(TRANSFORM single_header_from PREPEND ${PROJECT_SOURCE_DIR}/)
  add_custom_command(OUTPUT ${single_header}
    COMMAND Python3::Interpreter ${PROJECT_SOURCE_DIR}/cmake/single_header.py ${PROJECT_SOURCE_DIR} ${single_header}
    DEPENDS ${single_header_from} ${PROJECT_SOURCE_DIR}/cmake/single_header.py)
  add_custom_target(tapewright_single_header ALL DEPENDS ${single_header})
  install(FILES ${single_header} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT dev)
endif()

# Packages. With SOURCE_DATE_EPOCH set, the same sources give the same bytes.
foreach(name runtime dev)
  install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR}-${name} RENAME copyright COMPONENT ${name})
endforeach()
set(CPACK_PACKAGE_NAME tapewright)
set(CPACK_PACKAGE_CONTACT "the tapewright maintainers <tapewright@example.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_COMPONENTS_ALL runtime dev)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_ARCHIVE_COMPONENT_INSTALL ON)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME libtapewright${PROJECT_VERSION_MAJOR})
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_DEV_PACKAGE_NAME libtapewright-dev)
set(CPACK_DEBIAN_DEV_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEV_PACKAGE_DEPENDS "libtapewright${PROJECT_VERSION_MAJOR} (= ${PROJECT_VERSION})")
file(WRITE ${PROJECT_BINARY_DIR}/triggers "activate-noawait ldconfig\n")
set(CPACK_DEBIAN_RUNTIME_PACKAGE_CONTROL_EXTRA ${PROJECT_BINARY_DIR}/triggers)
include(CPack)
