# SPDX-License-Identifier: BSL-1.0
# What `cmake --install` lays down: headers, C interface, find_package files, pkg-config file.
include(CMakePackageConfigHelpers)

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/tapewright)
set(targets tapewright)
if(TAPEWRIGHT_CAPI)
  list(APPEND targets tapewright_c tapewright_c_static tapewright_guard)
endif()
install(TARGETS ${targets} EXPORT tapewright-targets
  FILE_SET HEADERS
  LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR}
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR}
  RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(EXPORT tapewright-targets NAMESPACE tapewright:: DESTINATION ${package_dir})

configure_package_config_file(cmake/tapewright-config.cmake.in
  ${PROJECT_BINARY_DIR}/tapewright-config.cmake INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/tapewright-config-version.cmake
  COMPATIBILITY SameMajorVersion)
install(FILES ${PROJECT_BINARY_DIR}/tapewright-config.cmake
  ${PROJECT_BINARY_DIR}/tapewright-config-version.cmake DESTINATION ${package_dir})

if(TAPEWRIGHT_CAPI)
  configure_file(cmake/tapewright.pc.in ${PROJECT_BINARY_DIR}/tapewright.pc @ONLY)
  install(FILES ${PROJECT_BINARY_DIR}/tapewright.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
endif()
