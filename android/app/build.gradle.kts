plugins {
    id("com.android.application")
}

/** The program's version, as Cargo.toml has it: one place for all systems. */
val cargoVersion: String =
    Regex("""^version = "(\d+)\.(\d+)\.(\d+)"""", RegexOption.MULTILINE)
        .find(rootDir.resolve("../Cargo.toml").readText())
        ?.destructured
        ?.let { (major, minor, patch) -> "$major.$minor.$patch" }
        ?: error("Cargo.toml has no version of three numbers")

/** Counts up with the version: 1.2.3 is 10203. */
fun codeOf(version: String): Int {
    val (major, minor, patch) = version.split(".").map(String::toInt)
    require(minor < 100 && patch < 100) { "a version's second and third number stay below 100" }
    return maxOf(1, major * 10_000 + minor * 100 + patch)
}

/** Which processors the library is built for; `-Pabis=arm64-v8a,x86_64` for others. */
val abis: List<String> = (findProperty("abis") as String? ?: "arm64-v8a").split(",")

val oldestSystem = 26

android {
    namespace = "lantern.ring"
    compileSdk = 35

    defaultConfig {
        applicationId = "lantern.ring"
        minSdk = oldestSystem
        targetSdk = 35
        versionName = cargoVersion
        versionCode = codeOf(cargoVersion)
        ndk { abiFilters += abis }
    }

    compileOptions {
        sourceCompatibility = JavaVersion.VERSION_17
        targetCompatibility = JavaVersion.VERSION_17
    }

    packaging {
        // The library is used where it lies in the package.
        jniLibs { useLegacyPackaging = false }
    }

    signingConfigs {
        // The key is the user's: named by properties or the environment, never kept here.
        fun given(name: String): String? = findProperty(name) as String? ?: System.getenv(name)
        given("LANTERN_KEYSTORE")?.let { keystore ->
            create("own") {
                storeFile = file(keystore)
                storePassword = given("LANTERN_KEYSTORE_PASSWORD")
                keyAlias = given("LANTERN_KEY_ALIAS")
                keyPassword = given("LANTERN_KEY_PASSWORD") ?: given("LANTERN_KEYSTORE_PASSWORD")
            }
        }
    }

    buildTypes {
        release {
            isMinifyEnabled = false
            signingConfig = signingConfigs.findByName("own")
        }
    }

    sourceSets["main"].jniLibs.srcDir(layout.buildDirectory.dir("rust"))
}

/** Builds the library by cargo-ndk: https://crates.io/crates/cargo-ndk. */
val rust by tasks.registering(Exec::class) {
    workingDir = rootDir.parentFile
    val targets = abis.flatMap { listOf("-t", it) }
    val out = layout.buildDirectory.dir("rust").get().asFile.path
    commandLine(
        listOf("cargo", "ndk", "-P", "$oldestSystem", "-o", out) + targets +
            listOf(
                "rustc", "--release", "--locked", "--lib", "--crate-type", "cdylib",
                "--no-default-features", "--features", "android",
            ),
    )
}

tasks.named("preBuild") { dependsOn(rust) }
