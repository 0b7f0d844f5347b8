#include "running_chassis.hpp"

#include <boost/asio/buffer.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/write.hpp>

#include <fstream>
#include <stdexcept>

namespace slotwitness::chassis::checks {

RunningChassis::RunningChassis() {
    for (const std::string key : {"id", "stranger"}) {
        const auto made = live::run({"ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C",
                                     "a watcher's key", "-f", file(key)});
        if (made.status != 0)
            throw std::runtime_error("ssh-keygen: " + made.output);
    }
}

std::vector<std::string>
RunningChassis::command(const std::vector<std::string>& more_options) const {
    std::vector<std::string> words{SLOTWITNESS_BIN "/slotwitness-chassis",
                                   "--port",
                                   "0",
                                   "--host-key",
                                   file("host_key"),
                                   "--authorized-keys",
                                   file("id.pub"),
                                   "--control",
                                   file("control"),
                                   "--record",
                                   file("requests.jsonl")};
    words.insert(words.end(), more_options.begin(), more_options.end());
    return words;
}

void RunningChassis::start(const std::vector<std::string>& more_options) {
    process_ = std::make_unique<live::Process>(command(more_options), file("errors"));
    const auto line = process_->next_line();
    if (!line) {
        std::ifstream errors(file("errors"));
        throw std::runtime_error("the chassis did not start: " +
                                 std::string(std::istreambuf_iterator<char>(errors), {}));
    }
    ready_ = nlohmann::json::parse(*line);
    std::ofstream known(file("known_hosts"));
    for (const auto& chassis : ready_.at("chassis"))
        known << "[127.0.0.1]:" << chassis.at("port") << " "
              << chassis.at("host_key").get<std::string>() << "\n";
}

std::uint16_t RunningChassis::port() const {
    return ready_.at("port").get<std::uint16_t>();
}

nlohmann::json RunningChassis::control(const std::string& line) const {
    namespace asio = boost::asio;
    asio::io_context io;
    asio::local::stream_protocol::socket socket(io);
    socket.connect(asio::local::stream_protocol::endpoint(file("control")));
    asio::write(socket, asio::buffer(line + "\n"));
    std::string reply;
    asio::read_until(socket, asio::dynamic_buffer(reply), '\n');
    return nlohmann::json::parse(reply);
}

std::vector<nlohmann::json> RunningChassis::recorded() const {
    std::ifstream file_of_lines(file("requests.jsonl"));
    std::vector<nlohmann::json> all;
    for (std::string line; std::getline(file_of_lines, line);)
        all.push_back(nlohmann::json::parse(line));
    return all;
}

live::Ran RunningChassis::ssh(const std::string& command, const std::vector<std::string>& options,
                              const std::string& key) const {
    // Of an option that stands twice ssh takes the first, so those of the test come first.
    std::vector<std::string> words{"ssh", "-n", "-F", "none", "-i", file(key)};
    words.insert(words.end(), options.begin(), options.end());
    words.insert(words.end(), {"-p", std::to_string(port())});
    for (const std::string& option :
         {std::string("IdentitiesOnly=yes"), std::string("IdentityAgent=none"),
          std::string("BatchMode=yes"), std::string("StrictHostKeyChecking=yes"),
          "UserKnownHostsFile=" + file("known_hosts"),
          std::string("GlobalKnownHostsFile=/dev/null")})
        words.insert(words.end(), {"-o", option});
    words.emplace_back("watcher@127.0.0.1");
    if (!command.empty())
        words.push_back(command);
    return live::run(words);
}

} // namespace slotwitness::chassis::checks
