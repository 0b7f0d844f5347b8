#include "site.hpp"

#include "../scenario/control.hpp"

#include <gtest/gtest.h>

#include <csignal>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <utility>

namespace slotwitness::live {

namespace {

void must(const Ran& ran, const std::string& what) {
    if (ran.status != 0)
        throw std::runtime_error(what + " failed: " + ran.output);
}

} // namespace

std::string program(const std::string& name) {
    return std::string(SLOTWITNESS_BIN) + "/" + name;
}

Site::Site() {
    for (const char* key : {"host_key", "watcher_key"})
        must(run({"ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", file(key)}), "ssh-keygen");
}

Site::~Site() {
    daemon_.reset();
    chassis_.reset();
}

void Site::start_chassis(std::vector<std::string> more_options) {
    std::vector<std::string> command = {program("slotwitness-chassis"),
                                        "--port",
                                        "0",
                                        "--name",
                                        "edge-7",
                                        "--serial",
                                        serial,
                                        "--host-key",
                                        file("host_key"),
                                        "--authorized-keys",
                                        file("watcher_key.pub"),
                                        "--control",
                                        file("control"),
                                        "--record",
                                        file("requests.jsonl")};
    command.insert(command.end(), more_options.begin(), more_options.end());
    chassis_ = std::make_unique<Process>(std::move(command), file("chassis.err"));
    const auto ready = chassis_->next_line();
    if (!ready)
        throw std::runtime_error("the simulated chassis did not start: " + text("chassis.err"));
    const nlohmann::json told = nlohmann::json::parse(*ready);
    all_chassis_ = told.at("chassis");
    chassis_port_ = told.at("port").get<std::uint16_t>();
    trust_chassis();
}

void Site::trust_chassis() {
    const std::string key = text("host_key.pub");
    std::ofstream(file("known_hosts")) << "[127.0.0.1]:" << chassis_port_ << ' '
                                       << key.substr(0, key.find(' ', key.find(' ') + 1)) << '\n';
}

void Site::configure(const std::string& lines, const std::string& daemon_lines) {
    std::ofstream(file("slotwitness.toml")) << "[daemon]\n"
                                               "listen = \"127.0.0.1:0\"\n"
                                               "journal = \"journal.sqlite\"\n"
                                               "reconnect-first = \"200 ms\"\n"
                                               "reconnect-longest = \"1 s\"\n"
                                            << daemon_lines
                                            << "\n[[chassis]]\n"
                                               "name = \"edge-7\"\n"
                                               "profile = \""
                                            << profile
                                            << "\"\n"
                                               "address = \"127.0.0.1\"\n"
                                            << "port = " << chassis_port_ << "\n"
                                            << "user = \"watcher\"\n"
                                               "key = \"watcher_key\"\n"
                                               "known-hosts = \"known_hosts\"\n"
                                            << lines
                                            << "\n[chassis.pace]\n"
                                               "pending = \"300 ms\"\n"
                                               "idle = \"5 s\"\n";
}

bool Site::start_daemon(const std::vector<std::string>& more_options) {
    std::vector<std::string> command{program("slotwitness"), "serve", "--config",
                                     file("slotwitness.toml")};
    command.insert(command.end(), more_options.begin(), more_options.end());
    daemon_ = std::make_unique<Process>(std::move(command), file("daemon.err"));
    const auto line = daemon_->next_line();
    if (!line)
        return false;
    daemon_port_ = static_cast<std::uint16_t>(std::stoul(line->substr(line->rfind(':') + 1)));
    return true;
}

void Site::kill_daemon() {
    daemon_->signal(SIGKILL);
    daemon_->wait();
}

int Site::stop_daemon() {
    daemon_->signal(SIGTERM);
    return daemon_->wait();
}

void Site::order(const std::string& line) const {
    const auto answer = scenario::control(file("control"), line);
    ASSERT_TRUE(answer) << answer.error();
    EXPECT_EQ(*answer, R"({"done":true})") << line;
}

std::string Site::open_gate(const std::string& sentence, unsigned expected_status) {
    const auto answer = scenario::request("POST", daemon_port_, "/v1/gates",
                                          {{"chassis", "edge-7"}, {"sentence", sentence}});
    if (!answer)
        throw std::runtime_error(answer.error());
    EXPECT_EQ(answer->status, expected_status) << answer->body;
    return answer->status == 201 ? answer->body.at("id").get<std::string>() : answer->body.dump();
}

nlohmann::json Site::get(const std::string& target) {
    const auto answer = scenario::request("GET", daemon_port_, target);
    if (!answer)
        throw std::runtime_error(answer.error());
    return answer->body;
}

nlohmann::json Site::gate(const std::string& id) {
    return get("/v1/gates/" + id);
}

nlohmann::json Site::until(const std::string& target, const Done& done) {
    for (;;) {
        const auto seen = scenario::request("GET", daemon_port_, target);
        if (!seen)
            throw std::runtime_error(seen.error());
        if (done(seen->body))
            return seen->body;
        // A hold that grows is no change of the entity tag: a short wait shows it as well.
        static_cast<void>(
            scenario::request("GET", daemon_port_, target, nullptr, "wait=1", seen->etag));
    }
}

nlohmann::json Site::decided(const std::string& id) {
    return gate_until(id,
                      [](const nlohmann::json& seen) { return seen.at("verdict") != "pending"; });
}

} // namespace slotwitness::live
