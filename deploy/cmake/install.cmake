# `cmake --install BUILD [--prefix /usr]`: the program, what is written about it, examples, and the service.
include(GNUInstallDirs)

install(TARGETS slotwitness RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY ${CMAKE_BINARY_DIR}/share/man/ DESTINATION ${CMAKE_INSTALL_MANDIR})
install(DIRECTORY ${CMAKE_BINARY_DIR}/share/bash-completion ${CMAKE_BINARY_DIR}/share/zsh
  DESTINATION ${CMAKE_INSTALL_DATAROOTDIR})
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES api/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME api.md)
install(FILES daemon/program/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME configuration.md)
install(FILES deploy/service/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME service.md)
install(FILES parsers/sentences/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME sentences.md)
install(FILES parsers/profiles/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME profiles.md)
install(FILES parsers/procedures/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME procedures.md)

set(examples ${CMAKE_INSTALL_DATADIR}/slotwitness/examples)
install(FILES deploy/service/slotwitness.toml DESTINATION ${examples})
install(FILES fixtures/quillon/profile.toml DESTINATION ${examples} RENAME quillon.toml)
install(DIRECTORY fixtures/quillon/procedures DESTINATION ${examples} FILES_MATCHING PATTERN *.toml)
install(DIRECTORY fixtures/linux DESTINATION ${examples} FILES_MATCHING PATTERN *.toml)

install(FILES deploy/service/slotwitness.sysusers DESTINATION lib/sysusers.d RENAME slotwitness.conf)
# The prefix is known only now, and the unit needs the program's whole path.
install(CODE "set(unit \"${PROJECT_SOURCE_DIR}/deploy/service/slotwitness.service.in\")
set(bindir \"\${CMAKE_INSTALL_PREFIX}/${CMAKE_INSTALL_BINDIR}\")")
install(CODE [[
set(units "${CMAKE_INSTALL_PREFIX}/lib/systemd/system")
configure_file("${unit}" "$ENV{DESTDIR}${units}/slotwitness.service" @ONLY)
message(STATUS "Installing: $ENV{DESTDIR}${units}/slotwitness.service")
]])
