#include "player.hpp"

#include <CLI/CLI.hpp>

#include <iostream>

/// Exit 0: every verdict was as the scenario says; 1: one was not; 2: the play could not go on.
int main(int argc, char** argv) {
    using namespace slotwitness::scenario;
    CLI::App app{"Plays engineer and technician of a scenario on the simulated chassis."};
    std::string file, socket;
    std::uint16_t port = 0;
    app.add_option("scenario", file, "Scenario file")->required();
    app.add_option("--daemon", port, "Port of the daemon on 127.0.0.1")->required();
    app.add_option("--control", socket, "Control socket of the simulated chassis")->required();
    CLI11_PARSE(app, argc, argv);

    const auto script = load(file);
    if (!script) {
        std::cerr << script.error() << '\n';
        return 2;
    }
    const auto otherwise = Player(port, socket).play(*script);
    if (!otherwise) {
        std::cerr << "the play could not go on: " << otherwise.error() << '\n';
        return 2;
    }
    std::cout << (*otherwise == 0
                      ? "Every verdict was as the scenario says."
                      : std::to_string(*otherwise) + " verdicts were not as the scenario says.")
              << std::endl;
    return *otherwise == 0 ? 0 : 1;
}
