#include "chassis_server.hpp"

#include "../twins/folder.hpp"

#include <boost/asio/post.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <keys.hpp>
#include <map>
#include <recorder.hpp>
#include <ssh_listener.hpp>
#include <stdexcept>
#include <thread>
#include <virtual_clock.hpp>

namespace slotwitness::links::test {

namespace fs = std::filesystem;

namespace {

chassis::Key key_in(const fs::path& file) {
    auto key = chassis::host_key(file);
    if (!key)
        throw std::runtime_error(key.error());
    return std::move(*key);
}

std::vector<chassis::Key> only(chassis::Key key) {
    std::vector<chassis::Key> keys;
    keys.push_back(std::move(key));
    return keys;
}

} // namespace

struct ChassisServer::Running {
    Running()
        : authorized(only(key_in(folder / "client_key"))),
          device({}, chassis::Time(2'000)), site{io, clock, recorder, authorized},
          listener(site, device, key_in(folder / "host_key"), true) {
        if (!recorder.open(folder / "record"))
            throw std::runtime_error("no record in " + folder.string());
        const auto opened = listener.open(0);
        if (!opened)
            throw std::runtime_error(opened.error());
        port = *opened;
        std::ofstream(folder / "known_hosts")
            << "[127.0.0.1]:" << port << ' ' << listener.host_key() << '\n';
        thread = std::thread([this] { io.run(); });
    }
    ~Running() {
        boost::asio::post(io, [this] {
            listener.close();
            io.stop();
        });
        thread.join();
    }
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;

    const twins::Folder own;
    const fs::path& folder = own.path();
    boost::asio::io_context io;
    const chassis::VirtualClock clock{1};
    chassis::Recorder recorder;
    std::vector<chassis::Key> authorized;
    chassis::Device device;
    chassis::Site site;
    chassis::SshListener listener;
    std::uint16_t port = 0;
    std::thread thread;
};

ChassisServer::ChassisServer() : running_(std::make_unique<Running>()) {}
ChassisServer::~ChassisServer() = default;

Target ChassisServer::target() const {
    Target target;
    target.host = "127.0.0.1";
    target.port = running_->port;
    target.user = "watcher";
    target.key_file = running_->folder / "client_key";
    target.known_hosts = running_->folder / "known_hosts";
    return target;
}

std::vector<ChassisServer::Heard> ChassisServer::heard() const {
    std::ifstream file(running_->folder / "record");
    std::map<std::uint64_t, Heard> sessions;
    for (std::string text; std::getline(file, text);) {
        const auto line = nlohmann::json::parse(text);
        Heard& heard = sessions[line.at("session")];
        const std::string type = line.at("type");
        if (std::find(heard.requests.begin(), heard.requests.end(), type) == heard.requests.end())
            heard.requests.push_back(type);
        if (type == "exec")
            heard.commands.push_back(line.at("bytes"));
        if (type == "data")
            heard.typed += line.at("bytes");
    }
    std::vector<Heard> all;
    for (auto& [number, heard] : sessions)
        all.push_back(std::move(heard));
    return all;
}

} // namespace slotwitness::links::test
