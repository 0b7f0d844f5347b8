#include "reading.hpp"
