package android.system;

public final class Os {
    public static void setenv(String name, String value, boolean overwrite) throws ErrnoException {
        fake.World.log("setenv " + name + " " + new java.io.File(value).getName());
    }
}
